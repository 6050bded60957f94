//! A formula whose results changed is named in the changelog.

use shaftwork::registry::formulas;

/// The formulas of a later version that no `NUMERIC:` entry names.
fn untold(changelog: &str, formulas: &[(&str, u32)]) -> Vec<String> {
    let entries: Vec<&str> = changelog.split("\n- ").filter(|entry| entry.starts_with("NUMERIC:")).collect();
    let told = |name: &str, version: u32| {
        entries.iter().any(|entry| entry.contains(&format!("`{name}` version {version}")))
    };
    formulas
        .iter()
        .flat_map(|&(name, version)| (2..=version).map(move |version| (name, version)))
        .filter(|&(name, version)| !told(name, version))
        .map(|(name, version)| format!("{name} version {version}"))
        .collect()
}

#[test]
fn every_later_version_has_its_entry() {
    let all: Vec<(&str, u32)> = formulas().map(|formula| (formula.name, formula.version)).collect();
    assert!(all.len() > 100 && all.iter().all(|(_, version)| *version >= 1));
    assert_eq!(untold(include_str!("../CHANGELOG.md"), &all), Vec::<String>::new());
}

#[test]
fn a_missing_entry_is_found() {
    let told = "\n- NUMERIC: `gas::density` version 2: 1.2 before, 1.3 after.\n";
    assert_eq!(untold(told, &[("gas::density", 2)]), Vec::<String>::new());
    assert_eq!(untold(told, &[("gas::density", 3)]), ["gas::density version 3"]);
    assert_eq!(untold("\n- `gas::density` version 2\n", &[("gas::density", 2)]), ["gas::density version 2"]);
}
