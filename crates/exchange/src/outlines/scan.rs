//! Numbers and words of an attribute, one after the other, as the open standard writes them.

/// What is left of a text.
pub(super) struct Scan<'a>(&'a str);

impl<'a> Scan<'a> {
    pub(super) fn of(text: &'a str) -> Scan<'a> {
        Scan(text.trim())
    }

    pub(super) fn is_done(&self) -> bool {
        self.0.is_empty()
    }

    /// A letter that stands next.
    pub(super) fn letter(&mut self) -> Option<char> {
        let letter = self.0.chars().next().filter(char::is_ascii_alphabetic)?;
        self.pass(1);
        Some(letter)
    }

    /// The text up to a mark, and passes the mark.
    pub(super) fn up_to(&mut self, mark: char) -> Option<&'a str> {
        let end = self.0.find(mark)?;
        let found = &self.0[..end];
        self.pass(end + 1);
        Some(found.trim())
    }

    /// The number that stands next: `-.5e3`, `1.`, `+7`; none where none does.
    pub(super) fn number(&mut self) -> Option<f64> {
        let bytes = self.0.as_bytes();
        let sign = |at: usize| usize::from(matches!(bytes.get(at), Some(b'+' | b'-')));
        let digits = |at: usize| {
            let rest = bytes[at..].iter();
            at + rest.take_while(|byte| byte.is_ascii_digit()).count()
        };
        let mut end = digits(sign(0));
        if bytes.get(end) == Some(&b'.') {
            end = digits(end + 1);
        }
        if matches!(bytes.get(end), Some(b'e' | b'E')) {
            let power = end + 1 + sign(end + 1);
            if digits(power) > power {
                end = digits(power);
            }
        }
        let number = self.0[..end].parse().ok()?;
        self.pass(end);
        Some(number)
    }

    /// Fills all places with the numbers that stand next.
    pub(super) fn fill(&mut self, places: &mut [f64]) -> Option<()> {
        for place in places {
            *place = self.number()?;
        }
        Some(())
    }

    /// A 0 or 1, which needs no gap after it.
    pub(super) fn flag(&mut self) -> Option<bool> {
        let flag = match self.0.as_bytes().first()? {
            b'0' => false,
            b'1' => true,
            _ => return None,
        };
        self.pass(1);
        Some(flag)
    }

    /// What is left, whatever it is.
    pub(super) fn rest(self) -> &'a str {
        self.0
    }

    /// Goes on after so many bytes, the gap that follows them, and one comma in it.
    fn pass(&mut self, bytes: usize) {
        let rest = self.0[bytes..].trim_start();
        self.0 = rest.strip_prefix(',').unwrap_or(rest).trim_start();
    }
}
