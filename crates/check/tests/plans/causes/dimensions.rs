use super::*;

fn with_width(value: f64, planned: &[(&str, f64)]) -> (Job, Plan) {
    let (mut job, mut plan) = sawn_job();
    let named = |name: &str, value: f64| DimensionValue {
        name: name.into(),
        value,
        ..DimensionValue::default()
    };
    job.dimensions = vec![job::Dimension {
        value: named("width", value),
        least: 1400.0,
        most: 1500.0,
        ..job::Dimension::default()
    }];
    plan.dimensions = planned
        .iter()
        .map(|(name, value)| named(name, *value))
        .collect();
    (job, plan)
}

#[test]
fn every_value_stored_once_known_and_in_range() {
    let (job, plan) = with_width(1460.0, &[("width", 1460.0)]);
    assert_good(&job, &plan);
    let (job, plan) = with_width(1500.5, &[("width", 1500.5)]);
    let finding = assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-out-of-range",
        Some(0.5),
        &[],
    );
    assert_eq!(finding.message, "width is 1500.5 mm: 0.5 mm too large.");
    let (job, plan) = with_width(1399.0, &[("width", 1399.0)]);
    assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-out-of-range",
        Some(1.0),
        &[],
    );
    let (job, plan) = with_width(1460.0, &[]);
    assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-missing",
        None,
        &[],
    );
    let (job, plan) = with_width(1460.0, &[("width", 1460.0), ("width", 1460.0)]);
    assert_only(&job, &plan, Rule::Dimensions, "dimension-twice", None, &[]);
    let (job, plan) = with_width(1460.0, &[("width", 1460.0), ("depth", 1.0)]);
    assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-unknown",
        None,
        &[],
    );
    let (job, plan) = with_width(1460.0, &[("width", f64::NAN)]);
    assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-not-a-number",
        None,
        &[],
    );
}

#[test]
fn a_value_lies_on_its_steps() {
    let stepped = |value: f64| {
        let (mut job, plan) = with_width(value, &[("width", value)]);
        (job.dimensions[0].preferred, job.dimensions[0].step) = (1500.0, 5.0);
        (job, plan)
    };
    let (job, plan) = stepped(1465.0);
    assert_good(&job, &plan);
    let off = "dimension-off-step";
    let (job, plan) = stepped(1465.01);
    assert_only(&job, &plan, Rule::Dimensions, off, Some(0.01), &[]);
    let (job, plan) = stepped(1465.5);
    let finding = assert_only(&job, &plan, Rule::Dimensions, off, Some(0.5), &[]);
    assert_eq!(finding.message, "width is 1465.5 mm: 0.5 mm off its steps.");
}

#[test]
fn parts_worked_out_with_other_values_are_not_the_plans() {
    let (job, plan) = with_width(1450.0, &[("width", 1460.0)]);
    let finding = assert_only(
        &job,
        &plan,
        Rule::Dimensions,
        "dimension-not-applied",
        Some(10.0),
        &[],
    );
    assert_eq!(
        finding.message,
        "The plan was made with width = 1460 mm, but the parts were worked out with 1450 mm."
    );
}
