//! The floor under the cost rises while a plan lies there, and says of which plans it speaks.

#![allow(clippy::unwrap_used)]

use heartside_app::protocol::{PageName, PlanSummary, View};
use heartside_app::session::Session;
use heartside_nest::{Search, Settings};
use heartside_timber::document::Document;
use heartside_timber::prepare::prepare;

const DESK: &str = include_str!("../../timber/tests/form-3/writing-desk.heartside.json");

fn summary(session: &mut Session) -> Option<PlanSummary> {
    session.state(PageName::SettingOut, &View::default()).plan
}

#[test]
fn it_rises_and_names_its_class() {
    let mut session = Session::default();
    assert!(session.open(DESK).accepted);
    session.clear_plan();
    assert!(!session.raise_floor().goes_on, "there is no plan yet");
    let start = session.begin_set_out();
    let job = prepare(&Document::open(DESK).unwrap().document).job;
    let mut search = Search::new(&job, Settings::default()).unwrap();
    search.step(6_000);
    let best = serde_json::to_string(search.best()).unwrap();
    assert!(session.offer(&best, start.revision).taken);
    session.end_set_out();
    let before = summary(&mut session).unwrap();
    assert!(!before.bound.unwrap().contains("square"));
    let (mut rose, mut steps) = (0, 0);
    loop {
        let work = session.raise_floor();
        rose += u32::from(work.rose);
        steps += 1;
        if !work.goes_on {
            break;
        }
        assert!(steps < 20_000, "it never ends");
    }
    assert!(rose > 0);
    let after = summary(&mut session).unwrap();
    let bound = after.bound.unwrap();
    assert!(
        bound.contains("cut square to the boards") && bound.contains("can be under"),
        "{bound}"
    );
    let saved = after
        .figures
        .iter()
        .find(|l| l.label == "Could still be saved, at most")
        .unwrap();
    assert!(
        saved.value.contains("cut square to the boards"),
        "{}",
        saved.value
    );
}
