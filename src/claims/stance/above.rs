//! Denials that stand above: headings, leads and labels, and what sets statements to be judged. Knows blocks and their sentences.

use super::{Class, Cue, LABEL_REACH, Reader};
use crate::sheet::{Block, BlockKind};
use crate::span::Span;

impl Reader<'_> {
    /// A heading, a lead or a label that denies what stands under it.
    pub(super) fn denied_above(&self, sentence: usize) -> bool {
        match self.above.get() {
            Some((known, denied)) if known == sentence => denied,
            _ => {
                let denied = self.denied_over(sentence);
                self.above.set(Some((sentence, denied)));
                denied
            }
        }
    }

    /// The heading right above a heading: the first line of one that goes on over two.
    fn line_above(&self, heading: usize) -> Option<usize> {
        let above = heading.checked_sub(1)?;
        let kind = self.sheet.blocks.get(above)?.kind();
        matches!(kind, BlockKind::Heading { .. }).then_some(above)
    }

    /// Whether words that could set a task ask a question of their own, which is answered behind it: “Is it true that the strands touch?”
    fn asks_on(&self, at: usize, cue: &Cue) -> bool {
        /// Fewest words of what is asked.
        const WORDS: usize = 3;
        let all = self.words(at);
        let behind = Span::new(cue.span.end(), all.end().max(cue.span.end())).of(self.text());
        let asked = cue.span.of(self.text()).to_lowercase();
        asked.starts_with("is it ")
            && self.is_question(at)
            && behind.split_whitespace().nth(WORDS - 1).is_some()
    }

    /// Whether the words right before a list say in the author's own name what he does, and deny nothing: what he denied before them has
    /// nothing to do with it. “There is no fairy dust in it. We do two things, and we do them well:”
    fn leads_on(&self, head: &Block) -> bool {
        const OWN: &[&str] = &["we", "our", "i", "my"];
        let sentences = head.sentences();
        let Some(last) = sentences
            .end
            .checked_sub(1)
            .filter(|at| sentences.contains(at))
        else {
            return false;
        };
        self.words(last).of(self.text()).trim_end().ends_with(':')
            && self.says_word(last, OWN)
            && !self.cues(last).iter().any(|cue| {
                cue.class.denies() || matches!(cue.class, Class::DenyHeading | Class::Report)
            })
    }

    fn denied_over(&self, sentence: usize) -> bool {
        /// Most bytes of a heading that says no more than not to.
        const LONE: usize = 28;
        /// Most words of a heading that says what kind of text stands under it.
        const TITLE: usize = 4;
        let Some(own) = self.sheet.sentences.get(sentence) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(own.block()) else {
            return false;
        };
        if self.has(sentence, Class::Fact) {
            return false;
        }
        // "Not for: walls; anything that plugs into an outlet." "NO GHOST NOTES: flex sings along" praises what is not there.
        let praises = |key: Span| {
            let words = key.of(self.text());
            words.split_whitespace().count() > 1
                && ["no ", "never "]
                    .iter()
                    .any(|no| words.to_lowercase().starts_with(no))
        };
        let key_denies = block.key().filter(|&key| !praises(key)).is_some_and(|key| {
            block.sentences().take(2).any(|at| {
                self.cues(at)
                    .iter()
                    .any(|cue| cue.class == Class::DenyClause && key.contains(cue.span))
            })
        });
        if key_denies
            || self.value_denies(block)
            || self.label_denies(block)
            || self.under_donts(own.block())
        {
            return true;
        }
        for at in (block.sentences().start..sentence).rev().take(LABEL_REACH) {
            if self.has(at, Class::Fact) {
                return false;
            }
            let label = self.cues(at).iter().any(|cue| {
                cue.class == Class::DenyHeading && cue.first <= 1
                    || cue.class == Class::Task && !self.asks_on(at, cue)
            });
            if label || self.list_of_donts(at) {
                return true;
            }
        }
        // "NEVER" over what is not to be done.
        let forbids =
            |head: &Block| head.span.len() <= LONE && self.forbids(head.span.of(self.text()));
        let above = own.block().checked_sub(1);
        if above
            .and_then(|above| self.sheet.blocks.get(above))
            .is_some_and(forbids)
        {
            return true;
        }
        let heads = |index: usize, any: bool| {
            self.sheet.blocks.get(index).is_some_and(|head| {
                forbids(head)
                    || head.sentences().any(|at| {
                        let any = any && !(at + 1 < head.sentences().end && self.leads_on(head));
                        self.cues(at).iter().any(|cue| match cue.class {
                            Class::DenyHeading | Class::Task => true,
                            Class::DenyTitle => {
                                matches!(head.kind(), BlockKind::Heading { .. })
                                    && self.words(at).of(self.text()).split_whitespace().count()
                                        <= TITLE
                            }
                            Class::DenyAll
                            | Class::DenyBack
                            | Class::DenyNext
                            | Class::DenyRest => any,
                            _ => false,
                        })
                    })
            })
        };
        if block.lead().is_some_and(|lead| heads(lead, true)) {
            return true;
        }
        if self.row_above(block).is_some_and(|cell| heads(cell, false)) {
            return true;
        }
        // "Not one of these is true. Say why." right before a list speaks of the list.
        if block.lead().is_none() && block.kind() == BlockKind::Item {
            let plain = self.no_items.get_or_init(|| {
                let blocks = self.sheet.blocks.iter().enumerate();
                let plain = blocks.filter(|(_, block)| block.kind() != BlockKind::Item);
                plain.map(|(at, _)| at).collect()
            });
            let before = plain
                .partition_point(|&at| at < own.block())
                .checked_sub(1)
                .and_then(|at| plain.get(at))
                .and_then(|&at| Some((at, self.sheet.blocks.get(at)?)));
            if before.is_some_and(|(index, before)| {
                before.section() == block.section() && heads(index, false)
            }) {
                return true;
            }
        }
        // “2. What we all hear. They are wrong, and whoever says one pays:” leads to the lettered ones below it.
        let leads = |item: usize| {
            let item = self.sheet.blocks.get(item);
            item.is_some_and(|item| item.span.of(self.text()).trim_end().ends_with(':'))
        };
        if self
            .item_above(own.block())
            .is_some_and(|item| heads(item, leads(item)))
        {
            return true;
        }
        let mut section = block.section();
        let mut steps = 0;
        while let Some(index) = section {
            if heads(index, false)
                || self
                    .line_above(index)
                    .is_some_and(|line| heads(line, false))
            {
                return true;
            }
            steps += 1;
            section = self
                .sheet
                .blocks
                .get(index)
                .and_then(|head| head.section())
                .filter(|_| steps < 4);
        }
        false
    }

    /// Whether a sentence stands in a column of what is wrong: what is right stands beside it and may share words with it.
    pub(super) fn in_denied_column(&self, sentence: usize) -> bool {
        let own = self.sheet.sentences.get(sentence);
        own.and_then(|own| self.sheet.blocks.get(own.block()))
            .is_some_and(|block| self.column_denies(block))
    }

    /// Whether the head of its column says that what stands below is wrong: “for (wrong) | read”, “Myth | Fact”.
    fn column_denies(&self, block: &Block) -> bool {
        /// Most words of a head that says so.
        const WORDS: usize = 4;
        let BlockKind::Cell { table, row, column } = block.kind() else {
            return false;
        };
        let [table, row, column] = [table, row, column].map(|place| place as usize);
        let Some(table) =
            (self.sheet.tables.get(table)).filter(|table| table.header_row && row > 0)
        else {
            return false;
        };
        let words = |column: usize| {
            let cell = table.cells.first()?.get(column).copied().flatten()?;
            Some(
                self.sheet
                    .blocks
                    .get(cell)?
                    .span
                    .of(self.text())
                    .to_lowercase(),
            )
        };
        let bare = |head: &str| {
            head.trim_matches(|sign: char| !sign.is_alphanumeric())
                .to_owned()
        };
        words(column).is_some_and(|head| {
            let said = || {
                head.split(|sign: char| !sign.is_alphabetic())
                    .filter(|word| !word.is_empty())
            };
            let next = || words(column + 1).map(|next| bare(&next));
            said().count() <= WORDS
                && (self.begins_to_forbid(&head)
                    || said().any(|word| self.lists.column_denies.has(word))
                    || self.lists.column_for.has(&bare(&head))
                        && next().is_some_and(|next| self.lists.column_read.has(&next)))
        })
    }

    /// The cell above in its column that heads the rows between the two, as a row with fewer cells does: “5.3 | Hypotheses that were
    /// rejected” over “H1 | Listeners prefer … | 38 of 80”.
    fn row_above(&self, block: &Block) -> Option<usize> {
        const ROWS: usize = 40;
        let BlockKind::Cell { table, row, column } = block.kind() else {
            return None;
        };
        let [table, row, column] = [table, row, column].map(|place| place as usize);
        let cells = &self.sheet.tables.get(table)?.cells;
        let filled = |row: usize| cells.get(row).map_or(0, |row| row.iter().flatten().count());
        let own = filled(row);
        let head = (row.saturating_sub(ROWS)..row)
            .rev()
            .find(|&above| filled(above) < own)?;
        cells.get(head)?.get(column).copied().flatten()
    }

    /// Whether words begin with what must not be done: “Don't write”.
    fn begins_to_forbid(&self, words: &str) -> bool {
        let first = |count: usize| {
            let words: Vec<&str> = words.split_whitespace().take(count).collect();
            words.join(" ").to_lowercase().replace('’', "'")
        };
        self.lists.forbids_first.has(&first(1)) || self.lists.forbids_first.has(&first(2))
    }

    /// Whether a passage is marked as an example of what is wrong: “NO: ‘…’”, “✗ …”.
    fn label_denies(&self, block: &Block) -> bool {
        const CROSSES: [char; 5] = ['✗', '✘', '❌', '✖', '☒'];
        /// Most bytes before the colon of a label.
        const LABEL: usize = 80;
        let words = block.span.of(self.text()).trim_start();
        if words.starts_with(CROSSES) {
            return true;
        }
        let head = words.get(..words.floor_char_boundary(LABEL)).unwrap_or("");
        let Some(colon) = head.find(':') else {
            return false;
        };
        let (label, said) = (&words[..colon], &words[colon + 1..]);
        // "No: 4471" is a number.
        let number = said
            .trim_start()
            .starts_with(|sign: char| sign.is_ascii_digit());
        !number
            && self
                .lists
                .label_denies
                .has(&label.trim().to_lowercase().replace('’', "'"))
    }

    /// Whether an item of a list stands under one in capitals that says not to, as a column of two may be set: “DON'T WRITE”.
    fn under_donts(&self, own: usize) -> bool {
        /// Most items of such a list.
        const ITEMS: usize = 30;
        /// Most words of such a head.
        const WORDS: usize = 4;
        let capitals = |words: &str| {
            words.chars().any(char::is_alphabetic)
                && !words.chars().any(char::is_lowercase)
                && words.split_whitespace().nth(WORDS).is_none()
        };
        let item = |at: usize| {
            let block = self.sheet.blocks.get(at)?;
            (block.kind() == BlockKind::Item).then(|| block.span.of(self.text()).trim())
        };
        item(own).is_some()
            && (own.saturating_sub(ITEMS)..own)
                .rev()
                .map_while(item)
                .find(|words| capitals(words))
                .is_some_and(|head| self.begins_to_forbid(head))
    }

    /// Whether the value of a field says no more than no: “inside walls: no”.
    fn value_denies(&self, block: &Block) -> bool {
        let Some(key) = block.key() else {
            return false;
        };
        let value = Span::new(key.end(), block.span.end().max(key.end())).of(self.text());
        let value = value.trim_start_matches([':', '=', '.', ' ', '\t', '–', '-']);
        let bare = value.trim_end_matches(['.', '!', ' ']).to_lowercase();
        self.lists.value_no.has(&bare)
    }

    /// The item of a list under which another one stands, as “a)” does under “5.”
    fn item_above(&self, own: usize) -> Option<usize> {
        /// Most items of such a list.
        const ITEMS: usize = 30;
        let label = |at: usize| {
            let block = self.sheet.blocks.get(at)?;
            let words = block
                .span
                .of(self.text())
                .trim_start_matches(['(', ' ', '\t']);
            (block.kind() == BlockKind::Item).then(|| words.chars().next())?
        };
        let letter = |one: char| one.is_alphabetic();
        let own_label = label(own).filter(|&one| !one.is_ascii_digit())?;
        (own.saturating_sub(ITEMS)..own)
            .rev()
            .map_while(|at| Some((at, label(at)?)))
            .find(|(_, other)| other.is_ascii_digit() || letter(*other) && !letter(own_label))
            .map(|(at, _)| at)
    }

    /// Whether a colon right behind words makes what follows theirs: “will not pay for any of the following: …; …”
    pub(super) fn opens_list(&self, words: Span) -> bool {
        let behind = self.text().get(words.end()..).unwrap_or("");
        behind.trim_start().starts_with(':')
    }

    /// Whether words say no more than not to, behind the number of a section if there is one: “2.4 Not required”.
    fn forbids(&self, words: &str) -> bool {
        let numbered = |sign: char| sign.is_ascii_digit() || sign.is_whitespace() || sign == '.';
        let words = words.trim_start_matches(numbered).trim().to_lowercase();
        self.lists
            .heading_forbids
            .has(words.trim_end_matches([':', '.', '!']))
    }

    /// Whether a sentence begins a list of what is not to be done: “Do not: run it under carpets. Bury it.”
    fn list_of_donts(&self, sentence: usize) -> bool {
        let words = self.words(sentence).of(self.text());
        words
            .split_once(':')
            .is_some_and(|(head, _)| self.forbids(head))
    }
}
