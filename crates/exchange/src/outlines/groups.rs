//! The lines of a DXF file in pairs: a code, and what it says.

use super::drawn::{Refused, broken, quoted};

/// One pair of lines.
#[derive(Debug, Clone, Copy)]
pub(super) struct Group<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
    /// The line of its code, from 1.
    pub(super) line: usize,
}

impl Group<'_> {
    pub(super) fn number(&self) -> Result<f64, Refused> {
        let number = self.value.parse::<f64>().ok().filter(|n| n.is_finite());
        number.ok_or_else(|| {
            let message = format!("{} is no number", quoted(self.value));
            broken(self.line + 1, &message)
        })
    }
}

/// Cuts the text into pairs; remarks are left out.
pub(super) fn groups(text: &str) -> Result<Vec<Group<'_>>, Refused> {
    let mut groups = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((at, code)) = lines.next() {
        let line = at + 1;
        let Ok(code) = code.trim_start_matches('\u{feff}').trim().parse::<i32>() else {
            // Blank lines at the foot are no harm.
            if code.trim().is_empty() && lines.clone().all(|(_, rest)| rest.trim().is_empty()) {
                break;
            }
            let message = format!(
                "{} stands where a DXF file has the number of a group",
                quoted(code.trim())
            );
            return Err(broken(line, &message));
        };
        let Some((_, value)) = lines.next() else {
            return Err(broken(line, "the file ends in the middle of a group"));
        };
        if code != 999 {
            let value = value.trim();
            groups.push(Group { code, value, line });
        }
    }
    Ok(groups)
}

/// A thing that begins with code 0, with the pairs up to the next such.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thing<'a> {
    pub(super) kind: &'a str,
    pub(super) groups: &'a [Group<'a>],
    pub(super) line: usize,
}

impl<'a> Thing<'a> {
    /// The things that a file holds, one after the other.
    pub(super) fn all(groups: &'a [Group<'a>]) -> Vec<Thing<'a>> {
        let mut things: Vec<Thing<'a>> = Vec::new();
        let mut end = groups.len();
        for (at, group) in groups.iter().enumerate().rev() {
            if group.code == 0 {
                things.push(Thing {
                    kind: group.value,
                    groups: &groups[at + 1..end],
                    line: group.line,
                });
                end = at;
            }
        }
        things.reverse();
        things
    }

    pub(super) fn text(&self, code: i32) -> Option<&'a str> {
        let group = self.groups.iter().find(|g| g.code == code)?;
        Some(group.value)
    }

    /// The first number of a code.
    pub(super) fn number(&self, code: i32) -> Result<Option<f64>, Refused> {
        match self.groups.iter().find(|g| g.code == code) {
            Some(group) => group.number().map(Some),
            None => Ok(None),
        }
    }

    pub(super) fn number_or(&self, code: i32, usual: f64) -> Result<f64, Refused> {
        Ok(self.number(code)?.unwrap_or(usual))
    }

    /// The first number of a code, which must be there.
    pub(super) fn needs(&self, code: i32) -> Result<f64, Refused> {
        self.number(code)?.ok_or_else(|| {
            let message = format!("{} lacks its group {code}", quoted(self.kind));
            broken(self.line, &message)
        })
    }

    /// All numbers of a code.
    pub(super) fn numbers(&self, code: i32) -> Result<Vec<f64>, Refused> {
        let mut numbers = Vec::new();
        for group in self.groups.iter().filter(|g| g.code == code) {
            numbers.push(group.number()?);
        }
        Ok(numbers)
    }

    /// The bits of a code.
    pub(super) fn flags(&self, code: i32) -> Result<u32, Refused> {
        let number = self.number_or(code, 0.0)?;
        Ok(if (0.0..=65_535.0).contains(&number) {
            number as u32
        } else {
            0
        })
    }
}
