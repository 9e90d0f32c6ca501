//! Tables, in the dialects that spreadsheets and devices write.

use repledger::trace::{self, Clock, DateOrder, Error, Options, Position};

use super::{CLOCK_S, EXACT, degrees, ok, read, reasons};

/// Three fixes, 0.1 s apart, at 18.0, 18.9 and 19.8 km/h.
fn is_the_table(text: &str, options: &Options) {
    let trace = trace::read(text.as_bytes(), options).unwrap_or_else(|e| panic!("{text}\n{e}"));
    assert_eq!(trace.fixes.len(), 3, "{text}");
    assert!(trace.set_aside.is_empty(), "{text}");
    for (i, fix) in trace.fixes.iter().enumerate() {
        let i = i as f64;
        assert!(
            (fix.time_s - trace.fixes[0].time_s - 0.1 * i).abs() < CLOCK_S,
            "{text}\n{fix:?}"
        );
        let speed = fix.speed_m_s.expect("a speed");
        assert!((speed - (5.0 + 0.25 * i)).abs() < EXACT, "{text}\n{fix:?}");
        let (latitude, longitude) = degrees(fix);
        assert!((latitude - 48.1).abs() < EXACT, "{text}\n{fix:?}");
        assert!(
            (longitude - (11.5 + 0.000_01 * i)).abs() < EXACT,
            "{text}\n{fix:?}"
        );
    }
}

#[test]
fn dialects_of_one_table() {
    let tables = [
        "time,lat,lon,speed (km/h)\n0.0,48.1,11.5,18.0\n0.1,48.1,11.50001,18.9\n0.2,48.1,11.50002,19.8\n",
        "time_s;latitude;longitude;speed_kmh\n0,0;48,1;11,5;18,0\n0,1;48,1;11,50001;18,9\n0,2;48,1;11,50002;19,8",
        "Elapsed (s)\tLatitude (°)\tLongitude (°)\tVelocity km/h\r\n0\t48.1\t11.5\t18\r\n0.1\t48.1\t11.50001\t18.9\r\n0.2\t48.1\t11.50002\t19.8\r\n",
        "\u{feff}\"time\",\"lat\",\"lng\",\"speed [m/s]\"\n\"0,0\",\"48,1\",\"11,5\",\"5,0\"\n\"0,1\",\"48,1\",\"11,50001\",\"5,25\"\n\"0,2\",\"48,1\",\"11,50002\",\"5,5\"\n",
        "sep=;\nt;lat;long;speed_mps\n0;48.1;11.5;5\n0.1;48.1;11.50001;5.25\n0.2;48.1;11.50002;5.5\n",
        "Speed: fast, but tired\nDate: 12 May; time: evening\ntime,lat,lon,speed (m/s),depth (fathoms),altitude (fathoms)\n0,48.1,11.5,5,1,1\n0.1,48.1,11.50001,5.25,1,1\n0.2,48.1,11.50002,5.5,1,1\n",
        "Training of the under-17\nfirst half, left wing\n\nlongitude,latitude,note,speed,t\n11.5,48.1,a,5,0\n11.50001,48.1,,5.25,0.1\n\n11.50002,48.1,b,5.5,0.2\n\n",
        "time,lat,lon,speed\n(s),[deg],[deg],(km/h)\n0,48.1,11.5,18\n0.1,48.1,11.50001,18.9\n0.2,48.1,11.50002,19.8\n",
        "# made by hand\n# time,lat,lon,speed\ntime_ms,lat,lon,speed_mps\n0,48.1,11.5,5\n# pause\n100,48.1,11.50001,5.25\n200,48.1,11.50002,5.5\n",
        "time,lat,lon,speed (m/s),\n0,48.1,11.5,5,\n0.1,48.1,11.50001,5.25,\n0.2,48.1,11.50002,5.5,\n",
        "time,lat,lon,speed (m/s)\r0,48.1,11.5,5\r0.1,48.1,11.50001,5.25\r0.2,48.1,11.50002,5.5\r",
        "time|lat|lon|speed (m/s)\n0|48.1|11.5|5\n0.1|48.1|11.50001|5.25\n0.2|48.1|11.50002|5.5\n",
    ];
    for table in tables {
        is_the_table(table, &Options::default());
    }
}

#[test]
fn columns_stand_in_for_a_header() {
    let told = |columns: &str| Options {
        columns: Some(columns.to_owned()),
        dates: None,
    };
    is_the_table(
        "0.0,48.1,11.5,18.0,x\n0.1,48.1,11.50001,18.9,x\n0.2,48.1,11.50002,19.8,x\n",
        &told("time,lat,lon,speed:km/h,-"),
    );
    is_the_table(
        "0,0;48,1;11,5;5,0\n0,1;48,1;11,50001;5,25\n0,2;48,1;11,50002;5,5\n",
        &told("time,lat,lon,speed"),
    );
    // A header that the columns make superfluous is passed over, and so are its words.
    let text = "a,b,c,d\n0.0,48.1,11.5,5\n0.1,48.1,11.50001,5.25\n0.2,48.1,11.50002,5.5\n";
    is_the_table(text, &told("t,lat,lon,speed:m/s"));
    let trace = trace::read(text.as_bytes(), &told("t,lat,lon,speed:m/s")).expect("a table");
    assert_eq!(trace.defects.len(), 1);
    assert_eq!(trace.defects[0].line, Some(1));
}

/// Each row: the clock to be found, the header, and 17:30:00, 17:30:00.5 and 17:30:01 of 2026-05-13 in its own way.
///
/// 2026-05-13T17:30:00Z is 1,778,693,400 s after 1970 (`date -u -d 2026-05-13T17:30:00Z +%s`); the day is the 46,155th of a
/// spreadsheet (25,569 for 1970-01-01, and 20,586 days), and 63,000 of 86,400 seconds are 0.72916 of it.
const TIMES: &str = "
    utc     | time       | 2026-05-13T17:30:00Z      | 2026-05-13T17:30:00.5Z      | 2026-05-13T17:30:01Z
    utc     | time       | 2026-05-13T19:30:00+02:00 | 2026-05-13T19:30:00.5+02:00 | 2026-05-13T19:30:01+02:00
    utc     | Time (UTC) | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.500     | 2026-05-13 17:30:01
    utc     | timestamp  | 1778693400                | 1778693400.5                | 1778693401
    utc     | time_s     | 1778693400                | 1778693400.5                | 1778693401
    utc     | timestamp  | 1778693400000             | 1778693400500               | 1778693401000
    utc     | time (ms)  | 1778693400000             | 1778693400500               | 1778693401000
    utc     | epoch      | 1778693400000000          | 1778693400500000            | 1778693401000000
    local   | time       | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.5       | 2026-05-13 17:30:01
    local   | time       | 2026/05/13 17:30:00       | 2026/05/13 17:30:00.5       | 2026/05/13 17:30:01
    local   | time       | 13/05/2026 17:30:00       | 13/05/2026 17:30:00.5       | 13/05/2026 17:30:01
    local   | time       | 13.05.2026 17:30:00       | 13.05.2026 17:30:00,5       | 13.05.2026 17:30:01
    local   | time       | 5/13/2026 5:30:00 PM      | 5/13/2026 5:30:00.5 PM      | 5/13/2026 5:30:01 PM
    local   | date       | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.5       | 2026-05-13 17:30:01
    local   | time       | 46155.7291666667          | 46155.7291724537            | 46155.7291782407
    elapsed | time       | 17:30:00                  | 17:30:00.5                  | 17:30:01.0
    elapsed | time       | 1050:00                   | 1050:00.5                   | 1050:01
    elapsed | elapsed    | 63000                     | 63000.5                     | 63001
    elapsed | time_ms    | 63000000                  | 63000500                    | 63001000
    elapsed | time (min) | 1050                      | 1050.0083333333             | 1050.0166666667
    elapsed | t          | 0.7291666667              | 0.7291724537                | 0.7291782407
";

#[test]
fn times_of_tables() {
    // Ten digits of a day's share are good to 5 µs.
    let close = 1e-5;
    for row in TIMES.lines().map(str::trim).filter(|row| !row.is_empty()) {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let [clock, header, a, b, c] = cells[..] else {
            panic!("five cells: {row}")
        };
        let trace = ok(format!("{header};speed (m/s)\n{a};1\n{b};1\n{c};1\n"));
        let first = trace.fixes[0].time_s;
        let off = match (trace.clock, clock) {
            (Clock::Elapsed, "elapsed") => first - 63_000.0,
            (Clock::Utc(origin), "utc") => origin
                .duration_since("2026-05-13T17:30:00Z".parse().expect("RFC 3339"))
                .as_secs_f64(),
            (Clock::ZoneUnknown(origin), "local") => origin
                .duration_since("2026-05-13T17:30:00".parse().expect("ISO 8601"))
                .as_secs_f64(),
            (found, _) => panic!("{row}: {found:?}"),
        };
        assert!(off.abs() < close, "{row}: {off} s off");
        for (fix, expected) in trace.fixes.iter().zip([0.0, 0.5, 1.0]) {
            let off = fix.time_s - first - expected;
            assert!(off.abs() < close, "{row}: {fix:?}");
        }
    }
}

#[test]
fn a_date_and_a_time_in_two_columns() {
    for (text, clock) in [
        (
            "date,time,speed (m/s)\n2026-05-13,17:30:00.5,1\n",
            "2026-05-13T17:30:00.5",
        ),
        (
            "Time;Date;speed (m/s)\n17:30:00;13.05.2026;1\n",
            "2026-05-13T17:30:00",
        ),
        (
            "date,time,speed (m/s)\n46155,17:30:00,1\n",
            "2026-05-13T17:30:00",
        ),
        (
            "date,time,speed (m/s)\n2026-05-13,5:30:00 pm,1\n",
            "2026-05-13T17:30:00",
        ),
    ] {
        assert_eq!(
            ok(text).clock,
            Clock::ZoneUnknown(clock.parse().expect("ISO 8601")),
            "{text}"
        );
    }
    assert!(matches!(
        ok("date,time (utc),speed (m/s)\n2026-05-13,17:30:00,1\n").clock,
        Clock::Utc(_)
    ));
}

#[test]
fn a_clock_passes_midnight() {
    let trace = ok("time,speed (m/s)\n23:59:59,1\n00:00:00,1\n00:00:01,1\n");
    let times: Vec<f64> = trace.fixes.iter().map(|f| f.time_s).collect();
    assert_eq!(times, [86_399.0, 86_400.0, 86_401.0]);
}

#[test]
fn a_day_and_month_that_cannot_be_told_are_asked_for() {
    let text = "time,speed (m/s)\n04/05/2026 10:00:00,1\n04/05/2026 10:00:01,1\n";
    let error = read(text).expect_err("4 May or April 5");
    assert_eq!(
        error,
        Error::DateOrder {
            line: 2,
            date: "04/05/2026 10:00:00".to_owned()
        }
    );
    assert!(error.to_string().contains("--dates dmy"));
    for (dates, start) in [
        (DateOrder::DayMonthYear, "2026-05-04T10:00:00"),
        (DateOrder::MonthDayYear, "2026-04-05T10:00:00"),
    ] {
        let options = Options {
            columns: None,
            dates: Some(dates),
        };
        let trace = trace::read(text.as_bytes(), &options).expect("a table");
        assert_eq!(
            trace.clock,
            Clock::ZoneUnknown(start.parse().expect("ISO 8601"))
        );
    }
    // One date above the twelfth, however late, settles the others.
    let rows = "12/05/2026 23:59:59,1\n".repeat(3000);
    let trace = ok(format!("time,speed (m/s)\n{rows}13/05/2026 00:00:00,1\n"));
    assert_eq!(trace.fixes.len(), 3001);
    assert!((trace.fixes[3000].time_s - 1.0).abs() < EXACT);
}

#[test]
fn positions_in_metres_and_speed_alone() {
    let trace = ok("t,x_m,y_m\n0,-52.5,34\n0.04,-52.4,34\n");
    assert_eq!(
        trace.fixes[0].position,
        Some(Position::Local {
            x_m: -52.5,
            y_m: 34.0
        })
    );
    let trace = ok("t,x (cm),y (cm)\n0,100,-50\n");
    assert_eq!(
        trace.fixes[0].position,
        Some(Position::Local {
            x_m: 1.0,
            y_m: -0.5
        })
    );
    let trace = ok("time_s,speed_mps,hr,hdop,satellites,course\n0,4.5,150,0.9,12,90\n");
    let fix = trace.fixes[0];
    assert_eq!(fix.position, None);
    assert_eq!(
        (fix.speed_m_s, fix.heart_rate_bpm),
        (Some(4.5), Some(150.0))
    );
    assert_eq!(
        (fix.hdop, fix.satellites, fix.course_deg),
        (Some(0.9), Some(12), Some(90.0))
    );
    assert!(trace.defects.is_empty(), "{:?}", trace.defects);
}

#[test]
fn a_row_that_cannot_be_used_is_set_aside_with_its_reason() {
    for (bad, reason) in [
        (",48,11,1", "no time"),
        ("-,48,11,1", "no time"),
        ("soon,48,11,1", "time not readable"),
        ("NaN,48,11,1", "time out of range (1970 to 2200)"),
        ("1e308,48,11,1", "time out of range (1970 to 2200)"),
        ("inf,48,11,1", "time out of range (1970 to 2200)"),
        ("1,91,11,1", "position out of range"),
        ("1,NaN,11,1", "position out of range"),
        ("1,1e308,11,1", "position out of range"),
        ("1,north,11,1", "position not a number"),
        ("1,48\0,11,1", "position not a number"),
        ("1,48,,1", "one coordinate of two missing"),
        ("1,48", "one coordinate of two missing"),
        ("1,,,", "no position and no speed"),
        ("1,null,null,N/A", "no position and no speed"),
        ("1,,,fast", "speed not usable"),
        ("1,,,-1", "speed not usable"),
        ("1,,,1e308", "speed not usable"),
        ("1,48,11,1,7,7", "more cells than columns"),
        ("\"1,48,11,1", "time not readable"),
    ] {
        let trace = ok(format!(
            "time_s,lat,lon,speed (m/s)\n0,48,11,1\n{bad}\n2,,,1\n{bad}\n3,48,11,\n"
        ));
        assert_eq!(trace.fixes.len(), 3, "{bad}: {:?}", trace.set_aside);
        assert_eq!(reasons(&trace), [(reason, 2, Some(3))], "{bad}");
        assert_eq!(trace.fixes[1].position, None);
        assert_eq!(trace.fixes[2].speed_m_s, None);
    }
}

#[test]
fn a_row_cut_off_at_the_end_is_left_out() {
    let trace = ok("time_s,lat,lon\n0,48.1,11.5\n1,48.1,11.5\n2,48.");
    assert_eq!(trace.fixes.len(), 2);
    assert_eq!(reasons(&trace), [("cut off", 1, Some(4))]);
    assert_eq!(trace.defects[0].line, Some(4));
    // With all its cells it is a row, newline or not.
    assert_eq!(
        ok("time_s,lat,lon\n0,48.1,11.5\n1,48.1,11.5").fixes.len(),
        2
    );
}

#[test]
fn a_line_too_long_costs_itself() {
    let long = "9".repeat(1 << 20);
    let trace = ok(format!("time_s,speed_mps\n0,1\n{long}\n1,1\n"));
    assert_eq!(trace.fixes.len(), 2);
    assert_eq!(reasons(&trace), [("line too long", 1, Some(3))]);
    assert!(matches!(
        read(long),
        Err(Error::LineTooLong { line: 1, .. })
    ));
}

#[test]
fn two_tables_in_one_file_are_two_segments() {
    let table = "time_s,speed_mps\n0,1\n1,1\n";
    let trace = ok(table.repeat(2));
    let segments: Vec<u32> = trace.fixes.iter().map(|f| f.segment).collect();
    assert_eq!(segments, [0, 0, 1, 1]);
}

#[test]
fn doubts_about_units_are_told() {
    let said = |text: &str| {
        let trace = ok(text);
        trace
            .defects
            .iter()
            .map(|d| d.message.clone())
            .collect::<String>()
    };
    assert!(said("time_s,speed\n0,5\n1,5\n").contains("read as m/s"));
    assert!(said("time_s,speed\n0,25\n1,26\n").contains("speed (km/h)"));
    assert!(said("time,speed (m/s)\n0,5\n100,5\n200,5\n").contains("milliseconds"));
    assert_eq!(said("time_s,speed_mps\n0,5\n1,5\n"), "");
}

#[test]
fn tables_that_cannot_be_read_say_what_to_do() {
    let told = |columns: &str| Options {
        columns: Some(columns.to_owned()),
        dates: None,
    };
    let none = Options::default();
    for (text, options, expected) in [
        (
            "1,2,3\n4,5,6\n",
            &none,
            "--columns time,lat,lon,speed:km/h,-",
        ),
        (
            "lat,lon\n1,2\n",
            &none,
            "line 1: the header has no column for the time (known: lat, lon)",
        ),
        (
            "a\ntime,hr\n1,2\n",
            &none,
            "line 2: the header has no column for the position",
        ),
        (
            "time,speed (furlong/h)\n1,2\n",
            &none,
            "line 1: the unit of the column \"speed (furlong/h)\" is not known; write m/s",
        ),
        (
            "time,lat,lon\n0,48,1,11,5\n1,48,1,11,5\n",
            &none,
            "line 2 has 5 cells for 3 columns; if numbers are written with decimal commas",
        ),
        ("time,lat,lon\n", &none, "no fixes"),
        (
            "time,lat,lon\nx,1,2\ny,3,4\n",
            &none,
            "none of the 2 fixes can be used: 2 time not readable (first on line 2)",
        ),
        (
            "1,2\n",
            &told("time,sped"),
            "--columns: \"sped\" is not known",
        ),
        ("1,2\n", &told("time,time"), "comes twice"),
        ("1,2\n", &told("lat,lon"), "lacks a time"),
        (
            "1,2\n",
            &told("time,speed:parsec"),
            "the unit of the column \"speed:parsec\"",
        ),
        (
            "a,b\nc,d\n",
            &told("time,speed"),
            "none of the 2 fixes can be used",
        ),
    ] {
        let error = trace::read(text.as_bytes(), options)
            .expect_err(expected)
            .to_string();
        assert!(error.contains(expected), "{error:?} lacks {expected:?}");
    }
}

#[test]
fn speed_is_known_in_six_languages() {
    for (name, unit) in [
        ("Geschwindigkeit (km/h)", "18.0"),
        ("Geschw. [km/h]", "18.0"),
        ("Vitesse (km/h)", "18.0"),
        ("Velocidad (m/s)", "5.0"),
        ("Velocit\u{e0} m/s", "5.0"),
        ("Velocidade (km/h)", "18.0"),
        ("Snelheid (km/h)", "18.0"),
    ] {
        let trace = ok(format!("time,{name}\n0,{unit}\n0.1,{unit}\n"));
        assert_eq!(trace.fixes[0].speed_m_s, Some(5.0), "{name}");
    }
}

#[test]
fn degrees_may_come_with_minutes_and_hemispheres() {
    for (header, cells) in [
        ("time;lat;lon", "41\u{b0}43.5'N;12\u{b0}29.4'W"),
        ("time;lat;lon", "41 43 30 N;12 29 24 W"),
        ("time;lat;N/S;lon;E/W", "4143.5;N;01229.4;W"),
        ("time;lat;lon", "41.725N;W 12.49"),
    ] {
        let trace = ok(format!("{header}\n0;{cells}\n1;{cells}\n"));
        let (latitude, longitude) = degrees(&trace.fixes[0]);
        assert!((latitude - 41.725).abs() < EXACT, "{cells}: {latitude}");
        assert!((longitude + 12.49).abs() < EXACT, "{cells}: {longitude}");
        assert!(trace.set_aside.is_empty(), "{cells}");
    }
}

#[test]
fn units_may_stand_in_the_cells() {
    let trace = ok(
        "time,lat,lon,speed,altitude\n0,48.1,11.5,18 km/h,100 ft\n0.1,48.1,11.5,5 m/s,30.48 m\n",
    );
    for fix in &trace.fixes {
        assert_eq!(fix.speed_m_s, Some(5.0));
        assert!((fix.elevation_m.unwrap() - 30.48).abs() < EXACT);
    }
    assert!(trace.defects.is_empty(), "{:?}", trace.defects);
}

#[test]
fn dates_and_times_may_be_digits_alone() {
    // NMEA 0183 writes 23 March 1994, 12:35:19 as 230394 and 123519; two digits of a year are of this century.
    let trace = ok("time,date (ddmmyy),speed\n173000.00,130526,5\n173000.50,130526,5\n");
    let same = ok("time,speed\n2026-05-13 17:30:00,5\n2026-05-13 17:30:00.5,5\n");
    assert_eq!(trace.clock, same.clock);
    assert!((trace.fixes[1].time_s - same.fixes[1].time_s).abs() < CLOCK_S);
    let together = ok("ddmmyy hhmmss,speed\n130526 173000,5\n130526 173001,5\n");
    assert_eq!(together.clock, same.clock);
    // 120526 could be the 12th of May, or the 26th in a year that comes first.
    let text = "time,date,speed\n173000,120526,5\n173001,120526,5\n";
    assert!(matches!(
        trace::read(text.as_bytes(), &Options::default()),
        Err(Error::DateOrder { line: 2, .. })
    ));
    let day_first = Options {
        dates: Some(DateOrder::DayMonthYear),
        ..Options::default()
    };
    assert!(trace::read(text.as_bytes(), &day_first).is_ok());
}

#[test]
fn a_table_without_a_header_is_read_where_it_can_mean_one_thing_only() {
    for rows in [
        "2026-05-13T17:30:00Z,-33.90001,151.20001,5\n2026-05-13T17:30:01Z,-33.90002,151.20002,5\n",
        "2026-05-13T17:30:00Z,33.90001 S,151.20001 E,5\n2026-05-13T17:30:01Z,33.90002 S,151.20002 E,5\n",
    ] {
        let trace = ok(rows);
        let (latitude, longitude) = degrees(&trace.fixes[0]);
        assert!((latitude + 33.90001).abs() < EXACT && (longitude - 151.20001).abs() < EXACT);
        let said = &trace.defects[0].message;
        assert!(said.contains("time,lat,lon,-"), "{said}");
        assert_eq!(trace.fixes[0].speed_m_s, None);
    }
    // Either of these could be the latitude.
    let text = "2026-05-13T17:30:00Z,48.10001,11.50001\n2026-05-13T17:30:01Z,48.10002,11.50002\n";
    assert!(matches!(
        trace::read(text.as_bytes(), &Options::default()),
        Err(Error::NoHeader { .. })
    ));
}

#[test]
fn columns_that_are_not_read_are_named() {
    let trace = ok("time,lat,lon,depth,mood\n0,48.1,11.5,1,good\n0.1,48.1,11.5,1,good\n");
    let said = &trace.defects[0].message;
    assert_eq!(said, "not read: columns 4, \"depth\"; 5, \"mood\"");
}

/// The start of a table of one column of times and one of speeds.
fn starts(header: &str, time: &str) -> String {
    let trace = ok(format!("{header};speed (m/s)\n{time};1\n"));
    match trace.clock {
        Clock::Utc(start) => start.to_string(),
        Clock::ZoneUnknown(start) => start.to_string(),
        clock @ Clock::Elapsed => panic!("{time}: {clock:?}"),
    }
}

#[test]
fn times_in_words_and_digits() {
    for (time, start) in [
        ("12 May 2026 18:12:30", "2026-05-12T18:12:30"),
        ("May 12, 2026 6:12:30 p.m.", "2026-05-12T18:12:30"),
        ("20260512T181230Z", "2026-05-12T18:12:30Z"),
        ("20260512T201230+0200", "2026-05-12T18:12:30Z"),
        ("20260512 181230", "2026-05-12T18:12:30"),
        ("20260512181230", "2026-05-12T18:12:30"),
        ("13052026181230", "2026-05-13T18:12:30"),
    ] {
        assert_eq!(starts("time", time), start, "{time}");
    }
    let trace = ok("t,speed (m/s)\n0.0 s,1\n350.5 s,1\n");
    assert!((trace.fixes[1].time_s - trace.fixes[0].time_s - 350.5).abs() < CLOCK_S);
}

#[test]
fn glued_digits_are_read_as_one_date_or_asked_about() {
    let text = "time,speed (m/s)\n120526181230,1\n120526181231,1\n";
    let message = read(text).expect_err("three dates").to_string();
    for word in [
        "120526181230",
        "2026-05-12 18:12:30 or 2026-12-05 18:12:30 or 2012-05-26 18:12:30",
        "--dates dmy",
        "yymmddhhmmss",
    ] {
        assert!(message.contains(word), "{message}");
    }
    let told = Options {
        columns: None,
        dates: Some(DateOrder::DayMonthYear),
    };
    let trace = trace::read(text.as_bytes(), &told).expect("a table");
    let start = "2026-05-12T18:12:30".parse().expect("ISO 8601");
    assert_eq!(trace.clock, Clock::ZoneUnknown(start));
    assert_eq!(
        starts("ddmmyyhhmmss", "120526181230"),
        "2026-05-12T18:12:30"
    );
    assert_eq!(
        starts("time (yymmddhhmmss)", "260512181230"),
        "2026-05-12T18:12:30"
    );
    // Milliseconds of the last century are no such digits, and a unit in the header goes before them.
    assert_eq!(starts("time", "978307199000"), "2000-12-31T23:59:59Z");
    assert_eq!(starts("time_ms", "120526181230"), "1973-10-26T23:29:41.23Z");
}

#[test]
fn tempo_is_a_speed_by_its_unit_and_never_dropped_without_a_word() {
    for header in ["Tempo (km/h)", "Tempo [km/h]", "tempo_kmh", "Tempo (km/u)"] {
        let trace = ok(format!("Uhrzeit;{header}\n18:06:40;18\n18:06:41;18\n"));
        assert_eq!(trace.fixes[0].speed_m_s, Some(5.0), "{header}");
        assert!(trace.defects.is_empty(), "{header}: {:?}", trace.defects);
    }
    for header in ["Uhrzeit;Tempo;v (m/s)", "elapsed;Tempo;v (m/s)"] {
        let trace = ok(format!("{header}\n18:06:40;18;5\n"));
        assert_eq!(
            trace.defects[0].message, "not read: column 2, \"Tempo\"",
            "{header}"
        );
    }
    let trace = ok("Uhrzeit;lat;lon;Tempo\n;°;°;km/h\n18:06:40;48;11;18\n");
    assert_eq!(trace.fixes[0].speed_m_s, Some(5.0));
    let trace = ok("Datum;Tempo;v (m/s)\n13.05.2026 18:06:40;18;5\n");
    let told = |words: &str| trace.defects.iter().any(|defect| defect.message == words);
    assert!(told("not read: column 2, \"Tempo\""), "{:?}", trace.defects);
    assert!(matches!(trace.clock, Clock::ZoneUnknown(_)));
    let trace = ok("Data;Tempo;v (m/s)\n13.05.2026;18:06:40;5\n");
    let start = "2026-05-13T18:06:40".parse().expect("ISO 8601");
    assert_eq!(trace.clock, Clock::ZoneUnknown(start));
    let trace = ok("Uhrzeit;Tempo (min/km);v (m/s)\n18:06:40;5:30;5\n");
    assert_eq!(
        trace.defects[0].message,
        "not read: column 2, \"Tempo (min/km)\""
    );
}

#[test]
fn a_hemisphere_is_understood_or_refused() {
    for (header, side) in [
        ("Lat;Lat (N/S);Lon;Lon (E/W)", "W"),
        ("Breite;N/S;Länge;O/W", "W"),
        ("Breedte;N/Z;Lengte;O/W", "West"),
        ("Latitud;N/S;Longitud;E/O", "O"),
        ("Latitude;N/S;Longitude;E/W", "Ovest"),
        ("lat;hemi;lon;hemi", "W"),
    ] {
        let trace = ok(format!(
            "t;{header}\n0;38.2;S;110.4;{side}\n1;38.2;S;110.4;{side}\n"
        ));
        assert_eq!(degrees(&trace.fixes[0]), (-38.2, -110.4), "{header}");
        assert!(trace.defects.is_empty(), "{header}: {:?}", trace.defects);
    }
    let trace = ok("t;Breite;N/S;Länge;O/W\n0;48.1;N;11.5;O\n");
    assert_eq!(degrees(&trace.fixes[0]), (48.1, 11.5));
    let trace = ok("t;Lat (N/S);Lon (E/O)\n0;38.2 S;110.4 O\n");
    assert_eq!(degrees(&trace.fixes[0]), (-38.2, -110.4));
    let message = |text: &str| read(text).expect_err("a hemisphere").to_string();
    let open = message("t;lat;hemi;lon;hemi\n0;38.2;S;110.4;O\n");
    assert!(
        open.contains("column \"hemi\"") && open.contains("name it O/W"),
        "{open}"
    );
    for side in ["O", "", "x"] {
        let refused = message(&format!("t;lat;N/S;lon;E/W\n0;38.2;N;110.4;{side}\n"));
        assert!(
            refused.contains("1 hemisphere not readable (N, S, E or W)"),
            "{refused}"
        );
    }
    // A sign of its own needs no letter.
    let trace = ok("t;lat;N/S;lon;E/W\n0;-38.2;;-110.4;\n");
    assert_eq!(degrees(&trace.fixes[0]), (-38.2, -110.4));
}

#[test]
fn a_time_that_cannot_be_read_is_shown_with_the_forms_that_can() {
    let message = read("time,speed\n18h12,1\n18h13,1\n")
        .expect_err("no time")
        .to_string();
    for word in [
        "2 time not readable (first on line 2)",
        "\"18h12\"",
        "12 May 2026 18:12:30",
    ] {
        assert!(message.contains(word), "{message}");
    }
}
