//! The README and what it leads to: examples held to the program, links to what is there.

use std::fs;
use std::path::{Path, PathBuf};

use repledger::plan;

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

/// A text for people, by where it lies.
struct Text {
    path: PathBuf,
    content: String,
}

/// README.md and all of docs/.
fn texts() -> Outcome<Vec<Text>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = vec![root.join("README.md")];
    for entry in fs::read_dir(root.join("docs"))? {
        paths.push(entry?.path());
    }
    paths.sort();
    let read = |path: PathBuf| -> Outcome<Text> {
        let content = fs::read_to_string(&path)?;
        Ok(Text { path, content })
    };
    let texts = paths.into_iter().map(read).collect::<Outcome<Vec<_>>>()?;
    assert!(texts.len() > 10, "{}", texts.len());
    Ok(texts)
}

impl Text {
    /// The lines of all fenced blocks of one language.
    fn blocks(&self, language: &str) -> Vec<String> {
        let fence = format!("```{language}");
        let mut blocks = Vec::new();
        let mut inside: Option<Vec<&str>> = None;
        for line in self.content.lines() {
            match &mut inside {
                None if line == fence => inside = Some(Vec::new()),
                Some(_) if line == "```" => {
                    blocks.extend(inside.take().map(|lines| lines.join("\n")));
                }
                Some(lines) => lines.push(line),
                None => {}
            }
        }
        blocks
    }

    /// The lines outside fenced blocks.
    fn prose(&self) -> impl Iterator<Item = &str> {
        let mut fenced = false;
        self.content.lines().filter(move |line| {
            let fence = line.trim_start().starts_with("```");
            fenced ^= fence;
            !fenced && !fence
        })
    }

    /// What its headings are linked by: lower case, blanks as hyphens, without other signs.
    fn anchors(&self) -> Vec<String> {
        let headings = self.prose().filter_map(|line| {
            let text = line.trim_start_matches('#');
            (text.len() < line.len()).then(|| text.trim().to_lowercase())
        });
        let keep = |c: &char| c.is_alphanumeric() || *c == ' ' || *c == '-';
        headings
            .map(|text| text.chars().filter(keep).collect::<String>())
            .map(|text| text.replace(' ', "-"))
            .collect()
    }
}

#[test]
fn their_plans_are_read() -> Outcome {
    let mut read = 0;
    for text in texts()? {
        for block in text.blocks("text") {
            let plan = plan::parse(&block).map_err(|mistakes| format!("{mistakes:?}"))?;
            assert_eq!(plan.blocks.len(), 7, "{}", text.path.display());
            read += 1;
        }
    }
    assert!(read >= 2, "{read}");
    Ok(())
}

/// The words of a line as a shell has them: one in double quotes may hold blanks.
fn in_words(line: &str) -> Vec<&str> {
    let quoted = line.split('"').enumerate();
    quoted
        .flat_map(|(at, part)| match at % 2 {
            0 => part.split_whitespace().collect(),
            _ => vec![part],
        })
        .collect()
}

#[test]
fn their_commands_and_options_exist() -> Outcome {
    let bench = Bench::new()?;
    let mut tried = 0;
    for line in texts()?.iter().flat_map(|text| text.blocks("sh")) {
        for line in line.lines() {
            let Some(typed) = line.strip_prefix("repledger ") else {
                continue;
            };
            // Without comment, pipe and redirection; the help is printed only once everything before it was understood.
            let typed = typed.split(['#', '|', '>']).next().unwrap_or_default();
            let mut words = in_words(typed);
            words.push("--help");
            bench.run_words(&words)?.done(&["Usage:"]);
            tried += 1;
        }
    }
    assert!(tried > 80, "{tried}");
    Ok(())
}

#[test]
fn their_links_lead_to_what_is_there() -> Outcome {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = texts()?;
    let path = root.join("DEVELOPERS.md");
    let content = fs::read_to_string(&path)?;
    texts.push(Text { path, content });
    let mut followed = 0;
    for text in &texts {
        let folder = text.path.parent().ok_or("no folder")?;
        let here = text.path.display();
        for link in text.content.split("](").skip(1) {
            let link = link.split(')').next().unwrap_or_default();
            if link.starts_with("http") {
                continue;
            }
            let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
            let to = if file.is_empty() {
                text.path.clone()
            } else {
                folder.join(file)
            };
            let to = to.canonicalize().map_err(|_| format!("{here}: {link}"))?;
            if !anchor.is_empty() {
                let other = texts
                    .iter()
                    .find(|t| t.path.canonicalize().ok() == Some(to.clone()));
                let other = other.ok_or_else(|| format!("{here}: {link}"))?;
                assert!(
                    other.anchors().contains(&anchor.to_owned()),
                    "{here}: {link}"
                );
            }
            followed += 1;
        }
    }
    assert!(followed > 20, "{followed}");
    Ok(())
}
