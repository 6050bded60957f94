//! Every source that is named is in the bibliography, and every source in it is named.
#![cfg(feature = "study")]

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::seeded;
use shaftwork::fuel::{Fact, PumpGrade, facts};
use shaftwork::registry::formulas;
use shaftwork::sources::{Seen, SourceKind, keys_in, source, sources};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All files with this ending below a folder.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|end| end == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// A text that names sources, with the place it stands in.
struct Named {
    place: String,
    text: String,
}

fn in_formulas() -> Vec<Named> {
    formulas().map(|formula| Named { place: formula.name.into(), text: formula.source.into() }).collect()
}

fn in_tables() -> Vec<Named> {
    let folders = ["fuel", "gas", "reference"].map(|folder| root().join("data").join(folder));
    let tables = folders.iter().flat_map(|folder| files(folder, "toml")).map(|path| {
        let said: toml::Table = fs::read_to_string(&path).unwrap().parse().unwrap();
        let text = said.get("source").and_then(toml::Value::as_str).unwrap_or_default().into();
        Named { place: path.display().to_string(), text }
    });
    tables.collect()
}

fn in_fuels() -> Vec<Named> {
    // A value from memory may have nothing to name.
    let rows = facts().iter().filter(|fact| fact.grade != "from memory" || fact.source.contains('['));
    let place = |fact: &Fact| format!("{}, {}", fact.component, fact.property);
    let mut named: Vec<Named> =
        rows.map(|fact| Named { place: place(fact), text: fact.source.clone() }).collect();
    for grade in PumpGrade::all() {
        if grade.note.contains('[') {
            named.push(Named { place: grade.standard.clone(), text: grade.note.clone() });
        }
    }
    named
}

/// Comments of `src/` that name a source. The module of the bibliography itself holds examples only.
fn in_comments() -> Vec<Named> {
    let mut found = Vec::new();
    for path in files(&root().join("src"), "rs") {
        if path.ends_with("src/sources.rs") {
            continue;
        }
        for (index, line) in fs::read_to_string(&path).unwrap().lines().enumerate() {
            let comment = line.split_once("//").map_or("", |(_, comment)| comment);
            if keys_in(comment).next().is_some() {
                found
                    .push(Named { place: format!("{}:{}", path.display(), index + 1), text: comment.into() });
            }
        }
    }
    found
}

fn known() -> BTreeSet<&'static str> {
    sources().iter().map(|source| source.key.as_str()).collect()
}

/// Keys that are not in the bibliography.
fn unknown<'t>(text: &'t str, known: &BTreeSet<&str>) -> Vec<&'t str> {
    keys_in(text).filter(|key| !known.contains(key)).collect()
}

/// What is wrong with a text that must name its sources.
fn fault(text: &str, known: &BTreeSet<&str>) -> Option<String> {
    let keys = keys_in(text).count();
    let strange = unknown(text, known);
    if keys == 0 {
        Some("names no source".into())
    } else if !strange.is_empty() {
        Some(format!("not in the bibliography: {strange:?}"))
    } else if text.matches('[').count() != keys || text.matches(']').count() != keys {
        Some("has a bracket that is no key".into())
    } else if text.contains("]:") {
        Some("has a colon after a key; the documentation would take it for the address of a link".into())
    } else {
        None
    }
}

/// Sources that no text names.
fn idle<'s>(named: &[Named], known: &BTreeSet<&'s str>) -> BTreeSet<&'s str> {
    let used: BTreeSet<&str> = named.iter().flat_map(|named| keys_in(&named.text)).collect();
    known.iter().copied().filter(|key| !used.contains(key)).collect()
}

#[track_caller]
fn all_are_good(named: &[Named]) {
    let known = known();
    let faults = named.iter().filter_map(|named| {
        fault(&named.text, &known).map(|fault| format!("{}: {fault}: {}", named.place, named.text))
    });
    let faults: Vec<String> = faults.collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_formula_names_its_source() {
    assert!(in_formulas().len() >= 70);
    all_are_good(&in_formulas());
}

#[test]
fn every_table_and_every_value_of_a_fuel_names_its_source() {
    assert!(in_tables().len() >= 18 && in_fuels().len() >= 55);
    all_are_good(&in_tables());
    all_are_good(&in_fuels());
}

#[test]
fn comments_name_only_known_sources() {
    let (known, comments) = (known(), in_comments());
    assert!(!comments.is_empty());
    for named in comments {
        assert_eq!(unknown(&named.text, &known), [""; 0], "{}", named.place);
    }
}

#[test]
fn every_source_is_named_somewhere() {
    let named: Vec<Named> =
        [in_formulas(), in_tables(), in_fuels(), in_comments()].into_iter().flatten().collect();
    assert_eq!(idle(&named, &known()), BTreeSet::new());
}

// The checks above can fail.
#[test]
fn seeded_mistakes_are_found() {
    let known = known();
    let found = |text: &str| fault(text, &known).unwrap_or_default();
    assert_eq!(found("[gupta-ice], Ex. 15.6"), "");
    assert_eq!(found("[gupta-ise], Ex. 15.6"), "not in the bibliography: [\"gupta-ise\"]");
    assert_eq!(found("[by-definition]; [no-such-book]"), "not in the bibliography: [\"no-such-book\"]");
    for without in
        ["", "a textbook", "[definition]", "[Gupta-ICE]", "[gupta-ice", "gupta-ice]", "[gupta ice]"]
    {
        assert_eq!(found(without), "names no source", "{without}");
    }
    assert_eq!(found("[by-definition] and [Gupta ICE]"), "has a bracket that is no key");
    assert_eq!(found("[by-definition] and gupta-ice]"), "has a bracket that is no key");
    assert!(found("[by-definition]: of lambda").contains("colon"));
    let mut longer = known.clone();
    longer.insert("never-named");
    assert!(idle(&in_formulas(), &longer).contains("never-named"));
}

#[test]
fn the_list_is_whole_and_plain() {
    let text = fs::read_to_string(root().join("data/sources.toml")).unwrap();
    let list: toml::Table = text.parse().unwrap();
    let keys: Vec<&str> = list.keys().map(String::as_str).collect();
    assert_eq!(
        sources().iter().map(|source| source.key.as_str()).collect::<Vec<_>>(),
        keys,
        "an entry is lost"
    );
    // A key cannot stand twice: the reader refuses such a file.
    assert!(format!("{text}\n[{}]\ntitle = \"again\"\n", keys[0]).parse::<toml::Table>().is_err());
    let fields = ["authors", "year", "title", "publisher", "kind", "seen", "note"];
    for source in sources() {
        let key = &source.key;
        assert_eq!(keys_in(&format!("[{key}]")).collect::<Vec<_>>(), [key], "not a key");
        let entry = list[key].as_table().unwrap();
        let strange: Vec<_> = entry.keys().filter(|field| !fields.contains(&field.as_str())).collect();
        assert!(strange.is_empty(), "{key}: {strange:?}");
        // What was written was read.
        assert_eq!(entry.contains_key("year"), source.year.is_some(), "{key}");
        assert_eq!(entry.contains_key("seen"), source.seen.is_some(), "{key}");
        let texts = [&source.authors, &source.publisher, &source.note];
        let texts = texts.into_iter().flatten().chain([&source.title]);
        assert!(texts.into_iter().all(|text| !text.trim().is_empty()), "{key}");
        let publication = source.kind.is_publication();
        assert_eq!(source.seen.is_some(), publication, "{key}: seen");
        assert!(publication || (source.authors.is_none() && source.year.is_none()), "{key}");
        assert!(source.year.is_none_or(|year| (1900..=2100).contains(&year)), "{key}");
        // A work by somebody, but for data and programs.
        let made = matches!(source.kind, SourceKind::Dataset | SourceKind::Software);
        assert!(!publication || made || source.authors.is_some(), "{key}: no author");
    }
}

#[test]
fn a_source_reads_as_a_line_of_a_list() {
    let line = |key: &str| source(key).unwrap().to_string();
    assert_eq!(
        line("gupta-ice"),
        "[gupta-ice] H. N. Gupta: Fundamentals of Internal Combustion Engines; book, second-hand (companion programs)"
    );
    assert_eq!(
        line("nasa-tn-d-5090"),
        "[nasa-tn-d-5090] Nusbaum, Kofskey (1969): Cold performance evaluation of 4.97-inch radial-inflow turbine \
         designed for single-shaft Brayton cycle space-power system, NASA TN D-5090; report, opened"
    );
    assert!(line("by-definition").ends_with("; definition"));
    assert!(line("gri30-transport").starts_with("[gri30-transport] (1999): GRI-Mech 3.0"));
    assert!(source("no-such-book").is_none() && source("").is_none());
}

#[test]
fn kinds_and_ways_have_words_of_their_own() {
    for kind in SourceKind::ALL {
        assert_eq!(SourceKind::from_words(kind.words()), Some(kind));
    }
    for seen in Seen::ALL {
        assert_eq!(Seen::from_words(seen.words()), Some(seen));
    }
    assert_eq!((SourceKind::from_words("leaflet"), Seen::from_words("")), (None, None));
}

proptest! {
    #![proptest_config(seeded(256))]

    #[test]
    fn any_text_is_searched_for_keys(text in r"[\[\]a-c0\- é\n]{0,60}|\PC{0,40}") {
        for key in keys_in(&text) {
            let bracketed = format!("[{}]", key);
            prop_assert!(text.contains(&bracketed));
            prop_assert!(key.contains('-') && !key.contains(['[', ']', ' ', 'é', '\n']));
        }
    }

    #[test]
    fn keys_are_found_among_other_words(before in "[a-z ]{0,9}", key in "[a-z0-9]{1,6}(-[a-z0-9]{1,6}){1,3}", after in r"[\]\[ ,a-z]{0,9}") {
        let text = format!("{before}[{key}]{after}");
        prop_assert_eq!(keys_in(&text).next(), Some(key.as_str()));
    }
}
