//! How wide text will be, without a font at hand.
//!
//! The reader's font is not known here. The table holds the advances of a generous serif
//! face, as wide as any in the font list of [`crate::style`]; text drawn in a narrower face
//! leaves some room, never too little.

/// Advance widths in thousandths of the font size, for the characters from blank to `~`.
const ADVANCE: [u16; 95] = [
    318, 402, 460, 838, 636, 950, 890, 275, 390, 390, 500, 838, 318, 338, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 536, 1000, 722, 735, 765, 802, 730,
    694, 799, 872, 395, 401, 747, 664, 1024, 875, 820, 673, 820, 753, 685, 667, 843, 722, 1028,
    712, 660, 695, 390, 337, 390, 838, 500, 500, 596, 640, 560, 640, 592, 370, 640, 644, 320, 310,
    606, 320, 948, 644, 602, 640, 640, 478, 513, 402, 644, 565, 856, 564, 565, 527, 636, 337, 636,
    838,
];

/// Height of a line of text, from the top of its capitals to the foot of its descenders, in
/// font sizes; boxes of labels are this high.
pub(crate) const LINE: f64 = 1.1;
/// How far the baseline lies above the foot of the box, in font sizes.
pub(crate) const FOOT: f64 = 0.28;

/// An upper bound of the width of a line of text at a font size, in the size's unit.
pub fn text_width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

fn advance(c: char) -> f64 {
    let code = c as u32;
    if (32..127).contains(&code) {
        return f64::from(ADVANCE[(code - 32) as usize]) / 1000.0;
    }
    match c {
        c if c.is_control() => 0.0,
        '·' | '’' | '‘' | '′' => 0.4,
        '°' | '–' | '“' | '”' | '²' | '³' => 0.52,
        '×' | '→' | '−' | '≤' => 0.84,
        '\u{c0}'..='\u{24f}' if c.is_lowercase() => 0.7,
        '\u{c0}'..='\u{24f}' => 1.03,
        '\u{370}'..='\u{52f}' => 1.03,
        // Ideographs and signs are a full square; nothing is wider than a little more.
        _ => 1.1,
    }
}

/// Breaks text into lines no wider than `width`; a single word that is wider stays whole.
pub(crate) fn wrap(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line)
                if text_width(line, size) + text_width(" ", size) + text_width(word, size)
                    <= width =>
            {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Shortens text with an ellipsis so that it is no wider than `width`.
pub(crate) fn shorten(text: &str, size: f64, width: f64) -> String {
    if text_width(text, size) <= width {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while let Some(_last) = kept.pop() {
        let tried = format!("{}…", kept.iter().collect::<String>().trim_end());
        if text_width(&tried, size) <= width {
            return tried;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_add_up_and_scale() {
        assert!((text_width("00", 10.0) - 12.72).abs() < 1e-9);
        assert_eq!(text_width("", 10.0), 0.0);
        assert!(text_width("漢", 10.0) >= 10.0);
    }

    #[test]
    fn wrapped_lines_keep_within_the_width_and_lose_no_word() {
        let text = "cut 13 keeps 12 mm clear of the old screw";
        let lines = wrap(text, 3.0, 40.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|l| text_width(l, 3.0) <= 40.0));
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn shortened_text_fits_or_vanishes() {
        assert_eq!(shorten("Leg", 10.0, 100.0), "Leg");
        let short = shorten("Drawer bottom, left", 10.0, 60.0);
        assert!(short.ends_with('…') && text_width(&short, 10.0) <= 60.0);
        assert_eq!(shorten("Drawer", 10.0, 1.0), "");
    }
}
