//! A rest for each of several doses: `1 x 1200, 2 x 800, 4 x 400, rest 3/2/1 min`.

/// The rest of each dose, where one phrase behind them names as many times. `None` where it does not.
pub(super) fn of(behind: &[String], doses: usize) -> Option<Vec<String>> {
    let [phrase] = behind else { return None };
    let (times, unit) = phrase.strip_prefix("rest ")?.split_once(' ')?;
    let times: Vec<&str> = times.split(['/', '-']).collect();
    let figures = |time: &&str| time.parse::<f64>().is_ok();
    (times.len() == doses && times.iter().all(figures)).then(|| {
        let rest = |time: &str| format!("rest {time} {unit}");
        times.into_iter().map(rest).collect()
    })
}
