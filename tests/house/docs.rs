//! README.md, DEVELOPERS.md and the pages of docs/: short enough to be read, every link leads somewhere, every page is found.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Bytes of README.md, of DEVELOPERS.md and of a page of docs/.
const LONGEST: usize = 12_000;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The text of a file, whatever ends of lines the checkout has.
fn text(path: &str) -> String {
    let text = fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"));
    text.replace("\r\n", "\n")
}

/// The pages of docs/ with their text, by path.
fn docs() -> BTreeMap<String, String> {
    let names = fs::read_dir(root().join("docs")).expect("docs/");
    let names = names.map(|f| f.expect("a file").file_name().into_string().expect("a name"));
    names.map(|name| format!("docs/{name}")).map(|path| (path.clone(), text(&path))).collect()
}

/// All pages whose links must lead somewhere.
fn pages() -> BTreeMap<String, String> {
    let front = ["README.md", "DEVELOPERS.md", "CHANGELOG.md"];
    let front = front.map(|path| (path.to_owned(), text(path)));
    docs().into_iter().chain(front).collect()
}

/// The text without blocks and spans of code, in which nothing is a link.
fn without_code(text: &str) -> String {
    let blocks = text.split("\n```").step_by(2).collect::<Vec<_>>().join("\n");
    let lines = blocks.lines().filter(|l| !l.starts_with("    ")).collect::<Vec<_>>().join("\n");
    lines.split('`').step_by(2).collect::<Vec<_>>().join("code")
}

/// Where links and pictures of a page lead.
fn targets(text: &str) -> Vec<String> {
    let text = without_code(text);
    let ends = [("](", ')'), ("src=\"", '"'), ("href=\"", '"')];
    let of = |(start, end): (&str, char)| {
        let found = text.split(start).skip(1);
        found.filter_map(|after| Some(after.split_once(end)?.0.to_owned())).collect::<Vec<_>>()
    };
    ends.into_iter().flat_map(of).collect()
}

/// The anchors that code hosts give to headings: lower case, hyphens for spaces, other signs left out.
fn anchors(text: &str) -> BTreeSet<String> {
    let mut seen = BTreeMap::new();
    let outside = text.split("\n```").step_by(2).collect::<Vec<_>>().join("\n");
    let headings = outside.lines().filter(|l| l.starts_with('#'));
    let slugs = headings.map(|heading| {
        let words = heading.trim_start_matches('#').trim().to_lowercase();
        let kept = words.chars().filter(|c| c.is_alphanumeric() || "-_ ".contains(*c));
        let slug = kept.map(|c| if c == ' ' { '-' } else { c }).collect::<String>();
        let before = seen.entry(slug.clone()).or_insert(0);
        *before += 1;
        if *before == 1 { slug } else { format!("{slug}-{}", *before - 1) }
    });
    slugs.collect()
}

/// A target's path from the root of the repository; none where it leads out of it.
fn path_of(page: &str, target: &str) -> Option<String> {
    let mut steps = page.split('/').collect::<Vec<_>>();
    steps.pop();
    for step in target.split('/').filter(|s| !s.is_empty() && *s != ".") {
        match step {
            ".." => drop(steps.pop()?),
            _ => steps.push(step),
        }
    }
    Some(steps.join("/"))
}

/// What is wrong with the links of a page.
fn faults(page: &str, text_of_page: &str) -> Vec<String> {
    let ignored = text(".gitignore");
    let fault = |target: &String| {
        let (file, anchor) = target.split_once('#').unwrap_or((target, ""));
        if file.contains(':') {
            return None;
        }
        let path = if file.is_empty() { page.to_owned() } else { path_of(page, file)? };
        if path != page && !root().join(&path).exists() {
            return Some(format!("{page}: {target} is no file"));
        }
        // Painted pictures are left out of the repository, but for those that are named.
        if path.matches('/').count() == 2
            && path.ends_with(".png")
            && !ignored.contains(&format!("!/{path}\n"))
        {
            return Some(format!("{page}: .gitignore leaves {path} out"));
        }
        let known = match path == page {
            _ if anchor.is_empty() => return None,
            true => anchors(text_of_page),
            false => anchors(&text(&path)),
        };
        (!known.contains(anchor)).then(|| format!("{page}: no heading for {target} in {path}"))
    };
    let targets = targets(text_of_page);
    let out = targets.iter().filter(|t| !t.contains(':') && path_of(page, t).is_none());
    let out = out.map(|t| format!("{page}: {t} leads out of the repository")).collect::<Vec<_>>();
    targets.iter().filter_map(fault).chain(out).collect()
}

#[test]
fn every_link_and_picture_leads_somewhere() {
    let pages = pages();
    let faults: Vec<_> = pages.iter().flat_map(|(page, text)| faults(page, text)).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let links = pages.values().map(|text| targets(text).len()).sum::<usize>();
    assert!(links > 80, "only {links} links found");
}

/// The finder itself: what it must complain of, and what it must let pass.
#[test]
fn a_link_that_leads_nowhere_is_found() {
    let page = "# A page\n\n## What it `does`, twice\n\n[a](#what-it-does-twice) [b](table.md)\n[c](../README.md#farwheel) \
                [d](https://example.org/x) `[e](gone.md)`\n\n```\n[f](gone.md)\n```\n\n    [g](gone.md)\n";
    assert_eq!(faults("docs/page.md", page), Vec::<String>::new());
    for (wrong, why) in [
        ("[a](gone.md)", "is no file"),
        ("<img src=\"../plots/gone.png\">", "is no file"),
        ("<img src=\"../plots/compact-hatchback/supply.png\">", ""),
        ("[a](#gone)", "no heading"),
        ("[a](../README.md#gone)", "no heading"),
        ("[a](../../README.md)", "leads out"),
    ] {
        let found = faults("docs/page.md", &format!("{page}\n{wrong}\n"));
        assert!(matches!(&found[..], [one] if one.contains(why)), "{wrong}: {found:?}");
    }
}

#[test]
fn every_page_is_short_enough_to_be_read() {
    let front = ["README.md", "DEVELOPERS.md"].map(|path| (path.to_owned(), text(path)));
    for (path, text) in docs().into_iter().chain(front) {
        assert!(text.len() <= LONGEST, "{path}: {} bytes, at most {LONGEST}", text.len());
    }
}

#[test]
fn every_page_says_its_question_and_is_linked_from_the_front() {
    let linked: BTreeSet<_> = ["README.md", "DEVELOPERS.md"]
        .iter()
        .flat_map(|page| targets(&text(page)))
        .map(|target| target.split('#').next().unwrap_or_default().to_owned())
        .collect();
    let docs = docs();
    assert!(docs.len() > 10, "only {} pages", docs.len());
    for (path, text) in docs {
        assert!(
            linked.contains(&path),
            "{path} is linked from neither README.md nor DEVELOPERS.md"
        );
        let lines: Vec<_> = text.lines().take(3).collect();
        let says = matches!(lines[..], [title, "", question]
            if title.starts_with("# ") && question.starts_with("This page answers: *"));
        assert!(says, "{path} should begin with its title and the question it answers");
    }
}

/// Two abreast cannot be read on a telephone.
#[test]
fn pictures_stand_by_themselves() {
    for (path, text) in pages() {
        for block in text.split("\n\n").filter(|block| block.contains("<img ")) {
            assert_eq!(block.matches("<img ").count(), 1, "{path}: two pictures abreast:\n{block}");
            assert!(block.contains(" alt=\""), "{path}: a picture without words:\n{block}");
            assert!(!block.contains("%\" alt"), "{path}: narrower than the page:\n{block}");
        }
    }
}

#[test]
fn the_citation_names_this_version() {
    let citation = text("CITATION.cff");
    let version = format!("\nversion: {}\n", env!("CARGO_PKG_VERSION"));
    assert!(citation.starts_with("cff-version: 1.2.0\n") && citation.contains(&version));
}

/// The page of the JSON names every kind of warning, those in bold that stop the job.
#[test]
fn every_kind_of_warning_is_listed() {
    use farwheel::job::record::WarningKind;
    use farwheel::keys::worded::Word;
    let page = text("docs/json.md").replace('\n', " ");
    let list = page.split_once("## Kinds of warnings").expect("a list").1;
    let list = list.split("## ").next().expect("its end");
    let mut kind = WarningKind::SupplyRanDry;
    let words = kind.all();
    for (i, word) in words.iter().enumerate() {
        kind.choose(i);
        let is_bold = list.contains(&format!("**`{word}`**"));
        assert!(list.contains(&format!("`{word}`")), "{word} is missing");
        assert_eq!(is_bold, kind.stops_the_job(), "{word}");
    }
    assert_eq!(list.matches('`').count(), 2 * words.len() + 2, "`kind` and each of them, once");
}
