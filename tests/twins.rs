//! The text twins of notebooks, by the script as an author runs it: notebook to twin, and back with outputs kept.
//!
//! That the committed twins are those of their notebooks is checked in `notebooks.rs`, without Python. Where Python is
//! not installed the checks here say so and are left out, unless `SHAFTWORK_CHECK_EXPORTS` is set.

#[path = "support/program.rs"]
mod program;

use program::program;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A folder with a copy of the fixture as its only notebook, and the twin of it.
struct Room {
    folder: PathBuf,
    python: String,
}

impl Room {
    fn new(name: &str) -> Option<Self> {
        let python = program(&["python3", "python"])?;
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("twins").join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        let room = Self { folder, python };
        let mut notebook: Value =
            serde_json::from_str(include_str!("fixtures/notebooks/small.ipynb")).unwrap();
        let cells = notebook["cells"].as_array_mut().unwrap();
        cells[2]["metadata"]["tags"] = serde_json::json!(["worked"]);
        fs::write(room.notebook_path(), notebook.to_string()).unwrap();
        assert_eq!(room.twin(&[]), Ok("small.ipynb: text/small.rs written\n".into()));
        Some(room)
    }
    fn notebook_path(&self) -> PathBuf {
        self.folder.join("small.ipynb")
    }
    fn twin_path(&self) -> PathBuf {
        self.folder.join("text/small.rs")
    }
    fn cells(&self) -> Vec<Value> {
        let notebook: Value =
            serde_json::from_str(&fs::read_to_string(self.notebook_path()).unwrap()).unwrap();
        notebook["cells"].as_array().unwrap().clone()
    }
    fn text(&self) -> String {
        fs::read_to_string(self.twin_path()).unwrap()
    }
    fn edit(&self, old: &str, new: &str) {
        let text = self.text();
        assert!(text.contains(old), "{old} in {text}");
        fs::write(self.twin_path(), text.replacen(old, new, 1)).unwrap();
    }
    /// What the script prints, or what it refuses with.
    fn twin(&self, options: &[&str]) -> Result<String, String> {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks/twin");
        let mut command = Command::new(&self.python);
        let out = command.arg("-B").arg(script).arg("--in").arg(&self.folder).args(options).output().unwrap();
        let [text, error] = [out.stdout, out.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
        assert!(!error.contains("Traceback"), "{error}");
        if out.status.success() { Ok(text) } else { Err(text + &error) }
    }
    fn apply(&self) -> Result<String, String> {
        self.twin(&["--apply"])
    }
}

#[test]
fn a_twin_has_the_cells_with_their_tags_and_no_outputs() {
    let Some(room) = Room::new("written") else { return };
    let twin = room.text();
    let expected = "// ---

// %%
// :dep shaftwork = { path = \"..\", default-features = false, features = [\"notebook\"] }
use shaftwork::prelude::*;

// %% [markdown]
// A pressure, and its ratio to the standard atmosphere.

// %% tags=[\"worked\"]
let pressure = kpa(203.0);
pressure

// %%
";
    assert!(twin.contains(expected), "{twin}");
    assert!(twin.starts_with("// ---\n// jupyter:\n") && !twin.contains("psia"), "{twin}");
}

#[test]
fn a_twin_that_says_the_same_changes_nothing() {
    let Some(room) = Room::new("same") else { return };
    let before = fs::read(room.notebook_path()).unwrap();
    assert!(room.apply().unwrap().contains("nothing to take"));
    assert_eq!(fs::read(room.notebook_path()).unwrap(), before);
    assert_eq!(room.twin(&["--check"]).unwrap(), "small.ipynb: as its twin\n");
}

#[test]
fn unchanged_cells_keep_outputs_and_names_and_edited_ones_lose_their_outputs() {
    let Some(room) = Room::new("edited") else { return };
    let before = room.cells();
    room.edit("let pressure = kpa(203.0);", "// Another day.\nlet pressure = kpa(204.0);");
    room.edit("A pressure, and", "One pressure, and");
    let refused = room.twin(&["--check"]).unwrap_err();
    assert!(
        refused.contains("parts from the notebook at line") && refused.contains("--apply small"),
        "{refused}"
    );
    let said = room.apply().unwrap();
    assert!(said.contains("1 of code without outputs") && said.contains("--accept small"), "{said}");
    let after = room.cells();
    assert_eq!((&after[0], &after[3]), (&before[0], &before[3]));
    assert_eq!(after[1]["id"], before[1]["id"]);
    assert_eq!(after[2]["id"], before[2]["id"]);
    assert_eq!(after[2]["metadata"], before[2]["metadata"]);
    assert_eq!(after[2]["outputs"], serde_json::json!([]));
    assert!(after[2]["source"].to_string().contains("204.0"));
    assert!(room.twin(&["--check"]).is_ok());
}

#[test]
fn cells_put_in_between_and_taken_out_leave_the_others_as_they_are() {
    let Some(room) = Room::new("moved") else { return };
    let before = room.cells();
    room.edit(
        "// %% tags=[\"worked\"]",
        "// %% [markdown]\n// Before it:\n//\n// - é\n\n// %%\nlet one = 1;\n\n// %% tags=[\"worked\"]",
    );
    room.apply().unwrap();
    let after = room.cells();
    assert_eq!(after.len(), before.len() + 2);
    assert_eq!((&after[..2], &after[4..]), (&before[..2], &before[2..]));
    assert_eq!(after[2]["source"], serde_json::json!(["Before it:\n", "\n", "- é"]));
    let mut names: Vec<String> = after.iter().map(|cell| cell["id"].to_string()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), after.len());
    // And out again.
    room.edit("// %%\nlet one = 1;\n\n", "");
    room.edit("// %% [markdown]\n// Before it:\n//\n// - é\n\n", "");
    room.apply().unwrap();
    assert_eq!(room.cells(), before);
}

#[test]
fn a_tag_alone_keeps_the_output() {
    let Some(room) = Room::new("tag") else { return };
    let before = room.cells();
    room.edit("// %% tags=[\"worked\"]", "// %%");
    assert!(room.apply().unwrap().contains("all outputs kept"));
    let after = room.cells();
    assert_eq!(after[2]["outputs"], before[2]["outputs"]);
    assert_eq!(after[2]["metadata"], serde_json::json!({}));
}

#[test]
fn a_twin_that_is_none_is_refused_with_its_line_and_nothing_is_written() {
    let Some(room) = Room::new("refused") else { return };
    let (before, twin) = (fs::read(room.notebook_path()).unwrap(), room.text());
    for (old, new, words) in [
        ("// %% [markdown]", "// %% [words]", "is no mark"),
        ("// A pressure, and", "A pressure, and", "words stand behind"),
        ("tags=[\"worked\"]", "tags=[worked]", "tags are a list of texts"),
        ("// ---\n\n", "\n", "the head has no end"),
        ("// ---\n\n", "// ---\n\nstray\n", "before the first cell"),
        ("let pressure", "\n\nlet pressure", "begins or ends with an empty line"),
        ("pressure\n\n", "pressure // %%\n// :dep x = \"1\" \n\n", "space at the end"),
    ] {
        fs::write(room.twin_path(), &twin).unwrap();
        room.edit(old, new);
        let error = room.apply().unwrap_err();
        assert!(
            error.contains(words) && error.contains("small.rs") | error.contains("cell"),
            "{old}: {error}"
        );
        assert_eq!(fs::read(room.notebook_path()).unwrap(), before);
    }
    fs::remove_file(room.twin_path()).unwrap();
    assert!(room.apply().unwrap_err().contains("is not there"));
    assert!(room.twin(&["--check"]).unwrap_err().contains("is missing"));
    assert!(room.twin(&["large"]).unwrap_err().contains("there are small"));
}

#[test]
fn a_cell_that_the_twin_could_not_give_back_is_refused() {
    let Some(room) = Room::new("not given back") else { return };
    let notebook = fs::read_to_string(room.notebook_path()).unwrap();
    for (new, words) in [
        ("// %% a mark", "would be taken for a mark"),
        ("// :dep old", "would be taken for a mark"),
        ("let x = 1; ", "a space at the end"),
        ("let x = 1;\\n", "an empty line"),
    ] {
        let text = notebook.replacen(
            "use shaftwork::prelude::*;",
            &format!("use shaftwork::prelude::*;\\n{new}"),
            1,
        );
        assert_ne!(text, notebook);
        fs::write(room.notebook_path(), text).unwrap();
        let error = room.twin(&[]).unwrap_err();
        assert!(error.contains(words) && error.contains("small.ipynb, cell 1"), "{error}");
    }
}
