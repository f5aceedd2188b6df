//! Lines of plain text: wrapping at 72 columns without cutting what belongs together.

/// Widest line, in characters.
const WIDTH: usize = 72;
/// Characters of a line to write on.
const ROOM: usize = 24;

/// Text as it grows; never two empty lines in a row.
pub(super) struct Lines {
    text: String,
}

impl Lines {
    /// Starts an empty text.
    pub(super) fn new() -> Self {
        Self {
            text: String::new(),
        }
    }

    /// Adds the title of the page, underlined.
    pub(super) fn title(&mut self, text: &str) {
        self.underlined(text, "=");
    }

    /// Adds a heading, underlined.
    pub(super) fn heading(&mut self, text: &str) {
        self.underlined(text, "-");
    }

    fn underlined(&mut self, text: &str, rule: &str) {
        self.gap();
        let lines = wrap(text, WIDTH);
        let widest = lines
            .iter()
            .map(|line| line.chars().count())
            .max()
            .unwrap_or_default();
        for line in &lines {
            self.push("", line);
        }
        self.push("", &rule.repeat(widest));
    }

    /// Adds a rule across, heavier than that of a title.
    pub(super) fn rule(&mut self) {
        self.push("", &"#".repeat(WIDTH));
    }

    /// Adds one paragraph.
    pub(super) fn line(&mut self, text: &str) {
        self.hung("", "", text);
    }

    /// Adds paragraphs.
    pub(super) fn lines(&mut self, texts: &[String]) {
        for text in texts {
            self.line(text);
        }
    }

    /// Adds a point of a list.
    pub(super) fn bullet(&mut self, text: &str) {
        self.hung("- ", "  ", text);
    }

    /// Adds numbered steps.
    pub(super) fn steps(&mut self, steps: &[String]) {
        for (step, n) in steps.iter().zip(1_usize..) {
            self.hung(&format!("  {n}) "), "     ", step);
        }
    }

    /// Adds a paragraph that stands in from the left.
    pub(super) fn inset(&mut self, text: &str) {
        self.hung("   ", "   ", text);
    }

    /// Adds a label with room to write after it.
    pub(super) fn blank_after(&mut self, label: &str) {
        self.line(&format!("{label}:\u{a0}{}", "_".repeat(ROOM)));
    }

    /// Adds an empty line, unless there is one.
    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Returns the text: one newline at its end, plain spaces only.
    pub(super) fn finish(self) -> String {
        format!("{}\n", self.text.trim_end()).replace('\u{a0}', " ")
    }

    fn hung(&mut self, first: &str, later: &str, text: &str) {
        let room = WIDTH.saturating_sub(later.chars().count());
        for (line, n) in wrap(text, room).iter().zip(0_usize..) {
            self.push(if n == 0 { first } else { later }, line);
        }
    }

    fn push(&mut self, start: &str, line: &str) {
        self.text.push_str(start);
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
}

/// Breaks a text at plain spaces only; a word wider than the room stands alone.
fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let wide = word.chars().count();
        if let Some(line) = lines.last_mut() {
            let used = line.chars().count();
            if used == 0 {
                line.push_str(word);
            } else if used + 1 + wide <= room {
                line.push(' ');
                line.push_str(word);
            } else {
                lines.push(word.to_owned());
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_at_the_width_and_keeps_hard_spaces() {
        let text = format!("{} 10\u{a0}times", "x".repeat(63));
        assert_eq!(wrap(&text, WIDTH), [text]);
        let text = format!("{} 10\u{a0}times", "x".repeat(64));
        assert_eq!(
            wrap(&text, WIDTH),
            ["x".repeat(64), "10\u{a0}times".to_owned()]
        );
    }

    #[test]
    fn finished_text_has_plain_spaces_and_one_newline() {
        let mut lines = Lines::new();
        lines.gap();
        lines.line("10\u{a0}times");
        lines.gap();
        lines.gap();
        assert_eq!(lines.finish(), "10 times\n");
    }
}
