//! Ids of boards and parts.

use heartside_geometry::SortedSet;

/// Longest id, in characters.
pub const MOST_ID_CHARACTERS: usize = 60;

/// Whether a text can be an id: 1 to 60 letters, figures, `-`, `_`, `.` and single spaces,
/// beginning with a letter or figure and not ending with a point or space.
///
/// Ids become names of files and of drawing elements, so that nothing else may be in them.
pub fn is_safe_id(id: &str) -> bool {
    let allowed = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ');
    id.chars().count() <= MOST_ID_CHARACTERS
        && id.chars().all(allowed)
        && id.chars().next().is_some_and(char::is_alphanumeric)
        && id.chars().last().is_some_and(|c| c != '.' && c != ' ')
        && !id.contains("..")
        && !id.contains("  ")
}

/// Ids that are taken, whatever their capitals.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TakenIds(SortedSet<String>);

impl TakenIds {
    /// The ids that are taken already.
    pub fn of<'a>(ids: impl IntoIterator<Item = &'a str>) -> TakenIds {
        TakenIds(SortedSet::from_iter(ids.into_iter().map(str::to_lowercase)))
    }

    /// Takes an id; false if it was taken before.
    pub fn take(&mut self, id: &str) -> bool {
        self.0.insert(id.to_lowercase())
    }

    /// A safe id that is not taken, made from a name (`Front rail` gives `front-rail`, the
    /// next one `front-rail-2`), and takes it. `otherwise` where the name has no letters.
    pub fn fresh(&mut self, name: &str, otherwise: &str) -> String {
        let mut base = String::new();
        for character in name.trim().chars().take(40) {
            if character.is_alphanumeric() {
                base.extend(character.to_lowercase());
            } else if !base.is_empty() && !base.ends_with('-') {
                base.push('-');
            }
        }
        let base = base.trim_end_matches('-');
        let base = if is_safe_id(base) { base } else { otherwise };
        let mut id = base.to_owned();
        let mut number = 2;
        while !self.take(&id) {
            id = format!("{base}-{number}");
            number += 1;
        }
        id
    }

    /// The first of A, B, ... Z, AA, AB, ... that is not taken, and takes it: how boards
    /// are marked with chalk.
    pub fn fresh_letter(&mut self) -> String {
        let mut number = 0_usize;
        loop {
            let id = letters(number);
            if self.take(&id) {
                return id;
            }
            number += 1;
        }
    }
}

/// 0 is A, 25 is Z, 26 is AA.
fn letters(mut number: usize) -> String {
    let mut reversed = Vec::new();
    loop {
        reversed.push(char::from(b'A' + (number % 26) as u8));
        if number < 26 {
            break;
        }
        number = number / 26 - 1;
    }
    reversed.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn safe_ids() {
        for good in ["A", "leg", "leg-2", "A_1", "Bein 2", "été", "a.b", "7"] {
            assert!(is_safe_id(good), "{good}");
        }
        for bad in [
            "", ".", "..", "../x", "a/b", "a\\b", " a", "a ", "a.", "<b>", "a\"", "con:", "a..b",
        ] {
            assert!(!is_safe_id(bad), "{bad}");
        }
        assert!(!is_safe_id(&"a".repeat(61)));
    }

    #[test]
    fn fresh_ids_are_safe_and_new() {
        let mut taken = TakenIds::of(["Leg", "b"]);
        assert_eq!(taken.fresh("Leg", "part"), "leg-2");
        assert_eq!(taken.fresh("leg ", "part"), "leg-3");
        assert_eq!(taken.fresh("Front rail (left)", "part"), "front-rail-left");
        assert_eq!(taken.fresh("../../x", "part"), "x");
        assert_eq!(taken.fresh("<<>>", "part"), "part");
        assert_eq!(taken.fresh("", "part"), "part-2");
        assert!(is_safe_id(&taken.fresh(&"İ".repeat(90), "part")));
        // B and X are taken.
        let marks: Vec<String> = (0..28).map(|_| taken.fresh_letter()).collect();
        assert_eq!(
            (marks[0].as_str(), marks[1].as_str(), marks[27].as_str()),
            ("A", "C", "AD")
        );
    }
}
