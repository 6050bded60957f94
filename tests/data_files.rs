//! The shipped data say where they come from, and every value is what its row says.

use shaftwork::fuel::{PumpGrade, facts};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// What every table says of itself.
const KEYS: [&str; 6] = ["id", "title", "source", "licence", "obtained", "units"];

/// Words for the evidence behind a value.
const GRADES: [&str; 7] =
    ["measured", "stated by seller", "standard", "published", "common practice", "from memory", "assumed"];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data")
}

fn tables_in(folder: &str) -> Vec<PathBuf> {
    let files = fs::read_dir(data().join(folder)).unwrap().map(|entry| entry.unwrap().path());
    let mut tables: Vec<_> = files.filter(|path| path.extension().is_some_and(|end| end == "csv")).collect();
    tables.sort();
    assert!(!tables.is_empty(), "{folder} has no tables");
    tables
}

/// All tables with a description beside them.
fn tables() -> Vec<PathBuf> {
    ["fuel", "gas", "reference", "validation"].iter().flat_map(|folder| tables_in(folder)).collect()
}

fn name(path: &Path) -> String {
    path.strip_prefix(data()).unwrap().with_extension("").to_string_lossy().replace('\\', "/")
}

fn description(table: &Path) -> toml::Table {
    let path = table.with_extension("toml");
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", name(table)));
    text.parse().unwrap_or_else(|error| panic!("{}: {error}", name(table)))
}

fn columns(table: &Path) -> Vec<String> {
    let mut reader = csv::Reader::from_path(table).unwrap();
    reader.headers().unwrap().iter().map(String::from).collect()
}

fn records(table: &Path) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(table).unwrap();
    // A row of another length is an error of this reader.
    reader.records().map(|row| row.unwrap_or_else(|error| panic!("{}: {error}", name(table)))).collect()
}

#[test]
fn no_data_lie_in_a_folder_that_nothing_reads() {
    let folders = fs::read_dir(data()).unwrap().map(|entry| entry.unwrap());
    let found: BTreeSet<String> = folders.map(|folder| folder.file_name().to_string_lossy().into()).collect();
    assert_eq!(
        found,
        ["demo", "formulas.md", "fuel", "gas", "reference", "sources.toml", "turbine", "validation"]
            .map(String::from)
            .into()
    );
}

#[test]
fn every_table_says_where_it_comes_from() {
    let mut ids = BTreeSet::new();
    for table in tables() {
        let said = description(&table);
        for key in KEYS {
            let value = said.get(key).unwrap_or_else(|| panic!("{}: no {key}", name(&table)));
            let empty = match value {
                toml::Value::String(text) => text.trim().is_empty(),
                toml::Value::Table(units) => units.is_empty(),
                _ => true,
            };
            assert!(!empty, "{}: {key} is empty", name(&table));
        }
        let id = said["id"].as_str().unwrap();
        let own = name(&table);
        assert!(own == id || own.ends_with(&format!("/{id}")), "{own} calls itself {id}");
        assert!(ids.insert(id.to_string()), "two tables call themselves {id}");
    }
}

// The units name the columns: no column without a unit, no unit without a column. Tables whose rows carry
// their own unit name only the columns of numbers.
#[test]
fn units_are_those_of_the_columns() {
    for table in tables() {
        let columns = columns(&table);
        let said = description(&table);
        let named: Vec<&String> = said["units"].as_table().unwrap().keys().collect();
        if name(&table).starts_with("reference/") || name(&table).starts_with("validation/") {
            let missing: Vec<_> = columns.iter().filter(|column| !named.contains(column)).collect();
            assert!(missing.is_empty(), "{}: no unit for {missing:?}", name(&table));
            let beyond: Vec<_> = named.iter().filter(|unit| !columns.contains(unit)).collect();
            assert!(beyond.is_empty(), "{}: no column for {beyond:?}", name(&table));
        }
        let distinct: BTreeSet<&String> = columns.iter().collect();
        assert_eq!(distinct.len(), columns.len(), "{}: two columns of one name", name(&table));
    }
}

#[test]
fn every_row_is_whole() {
    for table in tables() {
        let rows = records(&table);
        assert!(!rows.is_empty(), "{} has no rows", name(&table));
        let distinct: BTreeSet<Vec<&str>> = rows.iter().map(|row| row.iter().collect()).collect();
        assert_eq!(distinct.len(), rows.len(), "{}: a row stands there twice", name(&table));
        for row in &rows {
            assert!(!row[0].is_empty(), "{}: a row without a name", name(&table));
            let never = ["nan", "inf", "-inf", "infinity"];
            let odd = row.iter().find(|field| never.contains(&field.to_lowercase().as_str()));
            assert!(odd.is_none(), "{}: {odd:?} in {row:?}", name(&table));
        }
    }
}

// A computed table names the script that makes it again, and the script is there.
#[test]
fn scripts_that_are_named_are_there() {
    let folder = data().join("reference");
    let mut count = 0;
    for table in tables_in("reference") {
        let said = description(&table);
        for word in said["obtained"].as_str().unwrap().split([' ', ',', ';', '(']) {
            if word.ends_with(".py") {
                count += 1;
                assert!(folder.join(word).is_file(), "{}: no {word}", name(&table));
            }
        }
    }
    assert!(count >= 10, "only {count} scripts are named");
    // And the list of tables knows every one of them.
    let list = fs::read_to_string(folder.join("README.md")).unwrap();
    for table in tables_in("reference") {
        let file = table.file_name().unwrap().to_string_lossy().into_owned();
        assert!(list.contains(&format!("| {file} |")), "{file} is not in the list");
    }
}

// Invented maps carry their provenance in their own front matter.
#[test]
fn demonstration_maps_say_that_they_are_invented() {
    for map in tables_in("demo").into_iter().chain(tables_in("turbine")) {
        let text = fs::read_to_string(&map).unwrap();
        let front = text.lines().take_while(|line| line.starts_with('#'));
        let provenance = front.filter_map(|line| line.strip_prefix("# provenance:")).next();
        assert!(provenance.is_some_and(|said| said.contains("invented")), "{}", name(&map));
    }
}

#[test]
fn every_fact_of_a_fuel_lies_in_its_band_and_has_a_source() {
    // The library skips rows it cannot read: none may be lost.
    let rows = records(&data().join("fuel/components.csv"));
    assert_eq!(facts().len(), rows.len());
    let mut seen = BTreeSet::new();
    for fact in facts() {
        let [low, high] = fact.band;
        assert!(low <= fact.value && fact.value <= high && low.is_finite() && high.is_finite(), "{fact:?}");
        assert!(GRADES.contains(&fact.grade.as_str()), "{fact:?}");
        assert!(!fact.source.trim().is_empty(), "{fact:?}");
        assert!(seen.insert((&fact.component, &fact.property)), "twice: {fact:?}");
        // Only octane numbers have no unit.
        assert_eq!(fact.unit.is_empty(), fact.property.ends_with("octane"), "{fact:?}");
        // What is defined has no band; what is measured or remembered has one.
        let exact = ["carbon", "hydrogen", "oxygen"].contains(&fact.property.as_str())
            || fact.source.contains("fixes the scale");
        assert!(exact || high > low, "no band: {fact:?}");
    }
    let components: BTreeSet<&String> = facts().iter().map(|fact| &fact.component).collect();
    let needed = ["carbon", "hydrogen", "oxygen", "density_15", "expansion", "heating_value", "vaporisation"];
    let needed = needed.into_iter().chain(["liquid_heat_capacity", "research_octane", "motor_octane"]);
    for property in needed {
        for component in &components {
            let has = facts().iter().any(|fact| &&fact.component == component && fact.property == property);
            assert!(has, "{component} has no {property}");
        }
    }
}

#[test]
fn every_pump_grade_is_graded() {
    let rows = records(&data().join("fuel/grades.csv"));
    let all = PumpGrade::all();
    assert_eq!(all.len(), rows.len());
    for grade in all {
        assert!(GRADES.contains(&grade.grade.as_str()), "{grade:?}");
        assert!(!grade.standard.trim().is_empty() && !grade.note.trim().is_empty(), "{grade:?}");
        assert!(grade.least.si().is_finite() && grade.most.si().is_finite(), "{grade:?}");
    }
}
