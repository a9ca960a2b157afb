//! Maps of figure: what is taken over, and what is said of those that are damaged.

use super::*;

fn with(maps: Value) -> Prepared {
    let hash = "0f".repeat(32);
    let photo = json!({"hash": hash, "board": "A", "face": "down", "pixel": 0.5,
        "origin": [-20.0, -120.0], "size": [4080, 480]});
    let mut whole = small();
    whole["photos"] = json!([photo]);
    whole["figure_maps"] = maps;
    prepare(&document(whole))
}

fn map(change: impl Fn(&mut Value)) -> Value {
    let mut map = json!({"photo": "0F".repeat(32), "cell": 4.0, "origin": [0.0, -4.0], "columns": 2,
        "layers": {"light": "AIBA/w==", "sapwood": [1, 1, 2, 255]}});
    change(&mut map);
    map
}

#[test]
fn layers_of_a_photograph_come_together() {
    let coarse = map(|m| m["layers"] = json!({"strength": "AQI="}));
    let prepared = with(json!([map(|_| {}), coarse]));
    assert!(codes(&prepared).is_empty(), "{:?}", prepared.diagnostics);
    let figure = &prepared.job.figure[0];
    assert!(figure.is_down && figure.board == "A");
    let names: Vec<&str> = figure.layers.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names, ["light", "sapwood", "strength"]);
    assert_eq!(*figure.layers[0].levels, [0, 128, 64, 255]);
    let without = with(json!([])).job;
    assert!(without.differs_in_pins_only(&prepared.job));
}

#[test]
fn nothing_could_be_told_is_no_fault() {
    let prepared = with(json!([map(|m| m["layers"] = json!({}))]));
    assert!(codes(&prepared).is_empty() && prepared.job.figure.is_empty());
}

#[test]
fn a_damaged_map_is_left_out_and_said() {
    type Change = fn(&mut Value);
    let damaged: [(Change, &str); 8] = [
        (|m| m["photo"] = json!("ab"), "figure-of-no-photo"),
        (|m| m["cell"] = json!(0), "figure-unusable"),
        (|m| m["cell"] = json!(-4), "figure-unusable"),
        (|m| m["cell"] = json!(1e300), "figure-unusable"),
        (|m| m["origin"] = json!([1e300, 0]), "figure-unusable"),
        (|m| m["columns"] = json!(0), "figure-unusable"),
        (|m| m["columns"] = json!(3), "figure-unusable"),
        (|m| m["layers"]["light"] = json!(""), "figure-unusable"),
    ];
    for (change, code) in damaged {
        let prepared = with(json!([map(change)]));
        assert_eq!(codes(&prepared), [code]);
        let light = prepared.job.figure.iter().flat_map(|m| &m.layers);
        assert!(light.filter(|l| l.name == "light").count() == 0 && !prepared.has_errors());
    }
    let prepared = with(json!([map(|_| {}), map(|_| {})]));
    assert_eq!(codes(&prepared), ["figure-twice"; 2]);
}
