//! The page of a review: one file, nothing loaded, every text of a file a text.

use repledger::report::page::{self, Drawing};
use repledger::{figure, session, settings};

use crate::support::made;
use crate::support::outcome::Outcome;

const EVIL: &str = "<img src=x onerror=alert(1)>";

fn page(plan: Option<&str>) -> Outcome<String> {
    let resolved = settings::resolve(None, &[])?;
    let plan = plan.map(repledger::plan::parse).transpose();
    let plan = plan.map_err(|mistakes| format!("{mistakes:?}"))?;
    let gpx =
        made::gpx(600, 1.0).replacen("<trk>", &format!("<trk><name><![CDATA[{EVIL}]]></name>"), 1);
    let session = session::analyse(gpx.as_bytes(), plan.as_ref(), &resolved.settings)?;
    let pictures = figure::all(&session)?;
    let drawings: Vec<_> = pictures
        .iter()
        .map(|p| Drawing {
            name: p.name,
            svg: &p.svg,
            narrow: None,
        })
        .collect();
    Ok(page::render(&session, &drawings, &resolved.list))
}

#[test]
fn texts_of_a_recording_and_a_plan_stay_texts() -> Outcome {
    let plan =
        format!("title: {EVIL}\nathlete: {EVIL}\nresistance \"{EVIL}\", 5 x 6 s, rest 24 s\n");
    for plan in [None, Some(plan.as_str())] {
        let page = page(plan)?;
        assert!(!page.contains("<img"), "{plan:?}");
        assert!(
            page.contains("&lt;img src=x onerror=alert(1)&gt;"),
            "{plan:?}"
        );
    }
    Ok(())
}

#[test]
fn the_page_loads_nothing_and_says_so() -> Outcome {
    let page = page(None)?;
    assert!(page.contains("default-src 'none'; style-src 'sha256-"));
    for outside in [
        "src=\"",
        "href=\"http",
        "url(http",
        "@import",
        " style=\"",
        " onclick",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert_eq!(page.matches("<style>").count(), 1);
    Ok(())
}

#[test]
fn ninety_minutes_stay_below_a_megabyte() -> Outcome {
    let resolved = settings::resolve(None, &[])?;
    let plan = repledger::plan::parse("resistance \"runs\", 180 x 6 s, rest 24 s\n")
        .map_err(|m| format!("{m:?}"))?;
    let session = session::analyse(
        made::csv(54_000, 10.0).as_bytes(),
        Some(&plan),
        &resolved.settings,
    )?;
    let pictures = figure::all(&session)?;
    let drawings: Vec<_> = pictures
        .iter()
        .map(|p| Drawing {
            name: p.name,
            svg: &p.svg,
            narrow: None,
        })
        .collect();
    let page = page::render(&session, &drawings, &resolved.list);
    assert!(page.len() < 1_000_000, "{}", page.len());
    Ok(())
}
