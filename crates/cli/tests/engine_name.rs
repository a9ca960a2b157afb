//! What makes no difference to a search makes none to the name of its engine.

#[path = "../build/bare.rs"]
mod bare;

use bare::bare;

#[test]
fn comments_and_tests_are_left_out() {
    let plain = "fn a() -> u8 {\n1\n}";
    let told = r#"//! A module.

/// One. /* not a block */
fn a() -> u8 {
    /* a block /* in a block */ of two
       lines */
    1 // one
}

#[cfg(test)]
mod samples;
#[cfg(test)]
#[path = "b.rs"]
mod b;

#[cfg(test)]
mod tests {
    const BRACE: &str = "}";
    fn c() -> [char; 1] {
        ['}']
    }
}
"#;
    assert_eq!(bare(told), plain);
}

#[test]
fn what_is_in_quotes_stays() {
    for code in [
        r#"let a = "// no comment \" /* none */";"#,
        "let b = r#\"// none \" either\"#;",
        "let c = ['\"', '\\'', '/', 'é'];",
        "fn d<'a>(x: &'a str) -> &'a str {",
    ] {
        assert_eq!(bare(&format!("{code} // a comment")), code);
    }
}

#[test]
fn code_makes_a_difference() {
    assert_ne!(bare("const A: u8 = 1;"), bare("const A: u8 = 2;"));
    for test in [
        "mod samples;",
        "fn b() -> [u8; 1] { [1] }",
        "mod tests { fn c() {} }",
    ] {
        let source = format!("#[cfg(test)]\n{test}\nconst A: u8 = 1;");
        assert_eq!(bare(&source), "const A: u8 = 1;");
    }
}
