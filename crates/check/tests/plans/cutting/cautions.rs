use super::*;

fn cautions(job: &Job, plan: &Plan) -> Vec<Finding> {
    let found = check(job, plan);
    assert!(is_sound(&found), "{:?}", told(&found));
    assert!(
        found
            .iter()
            .all(|f| f.severity == Severity::Caution && f.rule == Rule::Cuts)
    );
    found
}

fn both() -> [PartCopy; 2] {
    [part_copy("rail", 1), part_copy("rail", 2)]
}

#[test]
fn a_hole_needs_an_entry_once_for_all_copies() {
    let (mut job, plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    job.parts[0].form = Form::Free;
    let hole = box_of(50.0, 20.0, 80.0, 30.0).outer().clone();
    job.parts[0].outline =
        Region::new(box_of(0.0, 0.0, 200.0, 50.0).outer().clone(), vec![hole]).unwrap();
    let found = cautions(&job, &plan);
    // The hole's corners are tight for any saw with a radius; this one has none.
    assert_eq!(causes(&found), ["hole-entry"]);
    assert_eq!(found[0].parts, both());
    job.workshop.tools[2].least_radius = 2.0;
    assert_eq!(
        causes(&cautions(&job, &plan)),
        ["hole-entry", "tight-corner"]
    );
}

#[test]
fn inside_curves_tighter_than_the_saw_follows() {
    let (mut job, plan) = sawn_job();
    job.parts[0].cut = PartCut::Sawn;
    // A round notch of radius 30 from above, drawn in 24 sides; outside corners do not count.
    let mut points = vec![(0.0, 0.0), (200.0, 0.0), (200.0, 50.0)];
    for k in 0..=24 {
        let (s, c) = heartside_geometry::math::sin_cos_deg(f64::from(k) * 180.0 / 24.0);
        points.push((100.0 + 30.0 * c, 50.0 - 30.0 * s));
    }
    points.push((0.0, 50.0));
    job.parts[0].outline = polygon(&points);
    // The blank lies 1.5 further out: its notch has a radius of 28.5, or a little less.
    job.workshop.tools[2].least_radius = 28.0;
    assert_eq!(told(&cautions(&job, &plan)), vec![]);
    job.workshop.tools[2].least_radius = 29.0;
    let found = cautions(&job, &plan);
    assert_eq!(causes(&found), ["tight-corner"]);
    assert_eq!(found[0].parts, both());
    assert!((amount(&found[0]).unwrap() - 0.5).abs() < 0.1);
    assert_eq!(
        found[0].message,
        "rail 1 and rail 2 on board A have an inside corner tighter than the 29 mm that the saw can follow."
    );
}
