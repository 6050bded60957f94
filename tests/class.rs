//! The scripts for a class, run as an instructor runs them: student copy, key, marking.
//!
//! Where Python is not installed the checks say so and are left out, unless `SHAFTWORK_CHECK_EXPORTS` is set.

#[path = "support/program.rs"]
mod program;

use program::program;
use serde_json::{Value, json};
use shaftwork::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const KEY: &str = "application/vnd.shaftwork.exercise+json";

/// What a script did.
struct Outcome {
    code: Option<i32>,
    out: String,
    err: String,
}

fn run(script: &str, arguments: &[&Path]) -> Option<Outcome> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks").join(script);
    let out = Command::new(program(&["python3", "python"])?)
        .arg("-B")
        .arg(script)
        .args(arguments)
        .output()
        .unwrap();
    let [text, err] = [out.stdout, out.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
    assert!(!err.contains("Traceback"), "{err}");
    Some(Outcome { code: out.status.code(), out: text, err })
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("class").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn first_boost() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks/exercises/first_boost.ipynb")
}

/// An exercise of a key, with the library's own units, within half a per cent.
fn asked<Q: Quantity>(name: &str, answer: Q) -> Value {
    json!({
        "name": name, "quantity": Q::NAME, "value": answer.si(), "within": 0.005, "shown": Q::SHOWN,
        "units": units::<Q>(), "other_zero": null,
    })
}

fn units<Q: Quantity>() -> Value {
    let unit = |u: &shaftwork::quantity::Unit| json!({ "label": u.label, "aliases": u.aliases, "factor": u.factor, "offset": u.offset });
    Q::UNITS.iter().map(unit).collect()
}

fn write_key(folder: &Path, exercises: &[Value]) -> PathBuf {
    let path = folder.join("key.json");
    let key = json!({ "shaftwork_key": 1, "notebook": "made-up.ipynb", "exercises": exercises });
    fs::write(&path, key.to_string()).unwrap();
    path
}

fn mark(folder: &Path, exercises: &[Value], answers: &str) -> Option<Outcome> {
    let key = write_key(folder, exercises);
    let file = folder.join("answers.txt");
    fs::write(&file, answers).unwrap();
    run("mark", &[&file, &key])
}

/// 200 kPa absolute, 98.675 kPa gauge, at a barometer of 101.325 kPa.
fn pressures() -> [Value; 2] {
    let mut absolute = asked("p", kpa(200.0));
    absolute["other_zero"] =
        json!({ "quantity": GaugePressure::NAME, "shift": 101_325.0, "units": units::<GaugePressure>() });
    let mut gauge = asked("p", kpa_gauge(98.675));
    gauge["other_zero"] =
        json!({ "quantity": Pressure::NAME, "shift": -101_325.0, "units": units::<Pressure>() });
    [absolute, gauge]
}

/// An exercise, a number and a unit that a mistake gave, and what is said of it. Numbers by hand from the
/// definitions of the units: 1 lb = 0.45359237 kg, 1 hp = 745.70 W, 1 psi = 6.89476 kPa, 0 degC = 273.15 K,
/// 0 degF = 255.372 K, 1 rad/s = 9.5493 rpm.
fn mistakes() -> Vec<(Value, f64, &'static str, &'static str)> {
    let [absolute, gauge] = pressures();
    let mut high = gauge.clone();
    high["value"] = json!(150e3);
    let flow = || asked("w", lb_per_min(25.0));
    let ratio = asked("r", PressureRatio::new(1.86).unwrap());
    let efficiency = || asked("e", Efficiency::new(0.72).unwrap());
    let hot = || asked("t", kelvin(400.15));
    // 200 kPa from a temperature of 45 degC, 318.15 K: with 45 it would be 28.29 kPa.
    let mut worked = asked("p", kpa(200.0));
    worked["mistakes"] = json!([{ "value": 28.289e3, "words": "T_m entered in degC; the formula takes K" }]);
    vec![
        (worked, 28.289, "kPa", "too small: T_m entered in degC; the formula takes K"),
        (asked("p", kpa(200.0)), 12e3, "kPa", "60 times too large: per minute mixed up"),
        (absolute.clone(), 98.675, "kPa", "this is the gauge pressure; add the barometer, 101.3 kPa"),
        (absolute.clone(), 301.325, "kPa", "the barometer, 101.3 kPa, is in it once too often"),
        (absolute, 29.008, "kPa", "the number is right in psia, but it is given in kPa"),
        (
            gauge.clone(),
            200.0,
            "kPa gauge",
            "this is the absolute pressure; subtract the barometer, 101.3 kPa",
        ),
        (high, 48.675, "kPa gauge", "the barometer, 101.3 kPa, is in it once too little"),
        (hot(), 127.0, "K", "the number is right in degC, but it is given in K"),
        (hot(), 400.15, "degC", "the number is right in K, but it is given in degC"),
        (hot(), 260.6, "degC", "the number is right in degF, but it is given in degC"),
        (hot(), 260.6, "K", "the number is right in degF, but it is given in K"),
        (
            asked("d", kelvin_diff(50.0)),
            323.15,
            "K",
            "6.463 times too large: degC turned to K once too often (273.15)",
        ),
        (flow(), 25.0, "lb/h", "the number is right in lb/min, but it is given in lb/h"),
        (flow(), 25.0, "lb/s", "the number is right in lb/min, but it is given in lb/s"),
        (flow(), 0.188_997, "g/s", "the number is right in kg/s, but it is given in g/s"),
        (
            flow(),
            11.339_8,
            "kg/s",
            "60 times too large: per minute mixed up with per second or per hour (factor 60)",
        ),
        (
            flow(),
            0.188_997 / 60.0,
            "kg/s",
            "60 times too small: per minute mixed up with per second or per hour (factor 60)",
        ),
        (flow(), 0.188_997 / 3600.0, "kg/s", "3600 times too small: per hour"),
        (flow(), 0.377_994, "kg/s", "2 times too large: a four-stroke cycle takes two revolutions"),
        (flow(), 0.094_498, "kg/s", "2 times too small: a four-stroke cycle takes two revolutions"),
        (asked("m", kg(10.0)), 10.0, "lb", "the number is right in kg, but it is given in lb"),
        (asked("m", kg(10.0)), 22.046, "kg", "the number is right in lb, but it is given in kg"),
        (
            asked("rho", kg_per_m3(1.2)),
            0.544_31,
            "kg/m3",
            "2.205 times too small: pounds mixed up with kilograms (factor 2.205)",
        ),
        (asked("p", kw(180.0)), 241.38, "kW", "the number is right in hp, but it is given in kW"),
        (asked("p", kw(180.0)), 180.0, "hp", "the number is right in kW, but it is given in hp"),
        (asked("p", kw(180.0)), 1718.87, "kW", "9.549 times too large: rpm mixed up with rad/s"),
        (
            asked("b", g_per_kwh(300.0)),
            223.71,
            "g/kWh",
            "25.4 % too small: horsepower mixed up with kilowatts (factor 1.341)",
        ),
        (asked("dp", kpa_diff(20.0)), 2.900_8, "kPa", "the number is right in psi, but it is given in kPa"),
        (efficiency(), 72.0, "", "the number is right in %, but it is given as a plain number"),
        (efficiency(), 0.72, "%", "the number is right as a plain number, but it is given in %"),
        (ratio, 186.0, "", "100 times too large: percent mixed up with a fraction (factor 100)"),
        (asked("n", rpm(6500.0)), 680.68, "rpm", "the number is right in rad/s, but it is given in rpm"),
        (asked("n", rpm(6500.0)), 6500.0, "rad/s", "the number is right in rpm, but it is given in rad/s"),
    ]
}

#[test]
fn the_usual_mistakes_are_named() {
    let folder = folder("mistakes");
    let mistakes = mistakes();
    // One file for all: the exercises get names of their own.
    let name = |index: usize| format!("exercise {index}");
    let exercises: Vec<Value> = (0..)
        .zip(&mistakes)
        .map(|(index, (exercise, ..))| {
            let mut exercise = exercise.clone();
            exercise["name"] = name(index).into();
            exercise
        })
        .collect();
    let lines = |times: f64| -> String {
        let line = |(index, (_, number, unit, _)): (usize, &(Value, f64, &str, &str))| {
            format!("{} = {:.9} {unit}\n", name(index), number * times)
        };
        mistakes.iter().enumerate().map(line).collect()
    };
    let Some(named) = mark(&folder, &exercises, &lines(1.0)) else { return };
    assert_eq!((named.code, named.err.as_str()), (Some(1), ""));
    for ((index, (.., words)), line) in mistakes.iter().enumerate().zip(named.out.lines().skip(1)) {
        let start = format!("line {:<4}", index + 1).trim_end().to_string();
        assert!(line.trim_start().starts_with(&start), "{line}");
        assert!(
            line.contains(&format!("{}: wrong, ", name(index))) && line.contains(words),
            "{words}\n{line}"
        );
    }
    assert!(named.out.ends_with(&format!("0 of {} right\n", mistakes.len())));
    // Three per cent beside the mistake nothing is explained by it, so nothing is said of it.
    let unnamed = mark(&folder, &exercises, &lines(1.03)).unwrap();
    for ((.., words), line) in mistakes.iter().zip(unnamed.out.lines().skip(1)) {
        assert!(line.contains(": wrong, ") && !line.contains(words), "{words}\n{line}");
    }
}

/// What is said of each answer, all marked in one file, and the exit code.
fn verdicts<'a>(
    answers: impl IntoIterator<Item = (&'a Value, &'a str)>,
) -> Option<(Option<i32>, Vec<String>)> {
    let (mut exercises, mut lines) = (Vec::new(), String::new());
    for (index, (exercise, answer)) in answers.into_iter().enumerate() {
        let mut exercise = exercise.clone();
        exercise["name"] = format!("x{index}").into();
        exercises.push(exercise);
        lines += &format!("x{index} = {answer}\n");
    }
    let outcome = mark(&folder("verdicts"), &exercises, &lines)?;
    let words = |line: &str| line.split_once(": ").unwrap().1.to_string();
    let told = outcome.out.lines().skip(1).take(exercises.len()).map(words).collect();
    Some((outcome.code, told))
}

#[test]
fn one_answer_at_a_time() {
    let [absolute, gauge] = pressures();
    let flow = asked("w", lb_per_min(25.0));
    let speed = asked("n", rpm(6500.0));
    let efficiency = asked("e", Efficiency::new(0.72).unwrap());
    let volume = asked("v", litre(1.862));
    let ratio = asked("r", PressureRatio::new(1.862).unwrap());
    let hot = asked("t", kelvin(400.15));
    let right = [
        (&flow, "25 lb/min"),
        (&flow, "25lb/min"),
        (&flow, "188.997 g/s # by hand"),
        (&flow, "1.88997e-1 kg/s"),
        (&flow, "680.389 KG/H"),
        (&flow, "1500 pph"),
        (&flow, "0.1892 kg/s"),
        (&speed, "6500 1/min"),
        (&speed, "6_500 rpm"),
        (&efficiency, "72%"),
        (&efficiency, ".72"),
        (&absolute, "200 kPa abs"),
        (&gauge, "14.3116 psig"),
        // As people write units.
        (&absolute, "200 kPa absolute"),
        (&absolute, "0.2 MPa abs"),
        (&absolute, "29.008 psi absolute"),
        (&gauge, "14.3116 psi gauge"),
        (&volume, "1.862 litres"),
        (&volume, "1.862 liters"),
        (&flow, "0.188997 kg/sec"),
        (&flow, "25 lbs/min"),
        (&flow, "25 pounds per minute"),
        (&flow, "11.33981 kg/min"),
        (&flow, "11339.81 g/min"),
        (&ratio, "1.862:1"),
        (&ratio, "1.862 : 1"),
        (&ratio, "1.862 to 1"),
        (&hot, "127 \u{b0}C"),
        (&hot, "127 degrees Celsius"),
        (&hot, "400.15 kelvin"),
        (&efficiency, "72 percent"),
    ];
    let Some((code, told)) = verdicts(right) else { return };
    for ((_, answer), told) in right.iter().zip(&told) {
        assert_eq!(told, "right", "{answer}");
    }
    assert_eq!((code, told.len()), (Some(0), right.len()));
    let plain = asked("p", kpa(200.0));
    let wrong = [
        (&flow, "0.1910 kg/s", "wrong, 1.06 % too large"),
        (&flow, "1 kg/s", "wrong, 5.291 times too large"),
        (&flow, "0 kg/s", "wrong, zero"),
        (&flow, "-0.189 kg/s", "wrong, of the wrong sign"),
        (
            &flow,
            "0,189 kg/s",
            "wrong: \"0,189 kg/s\" has a comma in its number; write a decimal point, and nothing for thousands; \"0.189 kg/s\" would be right",
        ),
        (
            &speed,
            "6,500 rpm",
            "wrong: \"6,500 rpm\" has a comma in its number; write a decimal point, and nothing for thousands; \"6500 rpm\" would be right",
        ),
        (
            &flow,
            "0,2 kg/s",
            "wrong: \"0,2 kg/s\" has a comma in its number; write a decimal point, and nothing for thousands",
        ),
        (&speed, "6 500 rpm", "wrong: a space or a second point inside the number before \"500 rpm\""),
        (&flow, "nan kg/s", "wrong: \"nan kg/s\" is not a finite number"),
        (&flow, "-inf kg/s", "wrong: \"-inf kg/s\" is not a finite number"),
        (&flow, "1e999 kg/s", "wrong: \"1e999 kg/s\" is not a finite number"),
        (
            &flow,
            "about 0.189 kg/s",
            "wrong: \"about 0.189 kg/s\" does not start with a number; write: name = number unit",
        ),
        (&flow, "0.189", "wrong: no unit; a mass flow takes one of: kg/s, g/s, kg/h, lb/s, lb/min, lb/h"),
        (
            &flow,
            "25 lb/mn",
            "wrong: unit \"lb/mn\" not understood; a mass flow takes one of: kg/s, g/s, kg/h, lb/s, lb/min, lb/h",
        ),
        (
            &efficiency,
            "72 of 100",
            "wrong: unit \"of 100\" not understood; an efficiency takes one of: a plain number, %",
        ),
        (
            &absolute,
            "200000000 mPa",
            "wrong: unit \"mPa\" not understood; an absolute pressure takes one of: Pa, kPa, hPa, bar, MPa, atm, psia, inHg",
        ),
        (
            &absolute,
            "98.675 kPa gauge",
            "wrong: right as a gauge pressure, but an absolute pressure is asked for; add the barometer, 101.3 kPa",
        ),
        (
            &gauge,
            "29.008 psia",
            "wrong: right as an absolute pressure, but a gauge pressure is asked for; subtract the barometer, 101.3 kPa",
        ),
        (
            &gauge,
            "98.7 kPa",
            "wrong: \"kPa\" makes this an absolute pressure, and a gauge pressure is asked for; a gauge pressure takes one of: Pa gauge, kPa gauge, bar gauge, psig",
        ),
        (
            &gauge,
            "77 kPa",
            "wrong: \"kPa\" is a unit of an absolute pressure; a gauge pressure takes one of: Pa gauge, kPa gauge, bar gauge, psig",
        ),
        (
            &absolute,
            "29.008 psi",
            "wrong: \"psi\" says neither absolute nor gauge; \"29.008 psia\" would be right",
        ),
        (
            &absolute,
            "14.3116 psi",
            "wrong: \"psi\" says neither absolute nor gauge; right as a gauge pressure, but an absolute pressure is asked for; add the barometer, 101.3 kPa",
        ),
        (
            &plain,
            "14.3116 psi",
            "wrong: \"psi\" says neither absolute nor gauge; write psia for an absolute pressure",
        ),
        (
            &gauge,
            "14.3116 psi",
            "wrong: \"psi\" says neither absolute nor gauge; \"14.3116 psig\" would be right",
        ),
        (&gauge, "10 psi", "wrong: \"psi\" says neither absolute nor gauge; write psig for a gauge pressure"),
        (&ratio, "1.862 bar", "wrong: unit \"bar\" not understood; a pressure ratio is a plain number"),
        (&ratio, "1.862:2", "wrong: unit \":2\" not understood; a pressure ratio is a plain number"),
        (&ratio, "2:1", "wrong, 7.41 % too large"),
        (
            &flow,
            "25 lb/fortnight",
            "wrong: unit \"lb/fortnight\" not understood; a mass flow takes one of: kg/s, g/s, kg/h, lb/s, lb/min, lb/h",
        ),
        (&flow, "11.33981 g/min", "wrong, 1000 times too small"),
        (&hot, "140 degC", "wrong, 13 K too high"),
        (&flow, "", "missing"),
        (&flow, "# later", "missing"),
    ];
    let (code, told) = verdicts(wrong.iter().map(|(exercise, answer, _)| (*exercise, *answer))).unwrap();
    for ((_, answer, words), told) in wrong.iter().zip(&told) {
        assert_eq!(told, words, "{answer}");
    }
    assert_eq!((code, told.len()), (Some(1), wrong.len()));
}

#[test]
fn a_file_is_marked_whole() {
    let exercises = [
        asked("air flow", kg_per_s(0.2)),
        asked("boost power", kw(180.0)),
        asked("displacement", litre(1.862)),
    ];
    let text = "# group 4\r\n\r\nAIR  Flow = 0.2 kg/s # ok\r\nbost power = 180 kW\r\nno answer here\r\nair flow = 0.3 kg/s\r\n= 3 kg\r\nquux = 1\r\n";
    let Some(outcome) = mark(&folder("whole"), &exercises, text) else { return };
    let expected = "   line 3  air flow: right
   line 4  \"bost power\": no exercise of this name; \"boost power\" is meant?
   line 5  not read: \"no answer here\" is no answer; write: name = number unit
   line 6  air flow: answered on line 3 already, which is the one that counts; keep one of them
   line 7  not read: \"= 3 kg\" is no answer; write: name = number unit
   line 8  \"quux\": no exercise of this name; there are: air flow, boost power, displacement
  no line  boost power: missing
  no line  displacement: missing
1 of 3 right
";
    assert_eq!(outcome.out.split_once('\n').unwrap().1, expected);
    assert_eq!((outcome.code, outcome.err.as_str()), (Some(1), ""));
    // One answer right, and a line too many: not all is well.
    let outcome =
        mark(&folder("whole"), &exercises[..1], "air flow = 0.2 kg/s\nair flow = 0.2 kg/s\n").unwrap();
    assert_eq!(outcome.code, Some(1));
    // A byte-order mark is harmless.
    let outcome = mark(&folder("whole"), &exercises[..1], "\u{feff}air flow = 0.2 kg/s").unwrap();
    assert_eq!(outcome.code, Some(0), "{}", outcome.out);
}

/// A colon does for the equals sign; a name may hold one too.
#[test]
fn a_colon_stands_for_the_equals_sign() {
    let exercises = [
        asked("air flow", kg_per_s(0.2)),
        asked("step 2: ratio", PressureRatio::new(1.862).unwrap()),
        asked("boost power", kw(180.0)),
    ];
    let text = "air flow: 0.2 kg/s\nstep 2: ratio: 1.862:1\nboost power:\nsome: words\n: 3 kW\n";
    let Some(outcome) = mark(&folder("colon"), &exercises, text) else { return };
    let expected = "   line 1  air flow: right
   line 2  step 2: ratio: right
   line 3  boost power: missing
   line 4  not read: \"some: words\" is no answer; write: name = number unit
   line 5  not read: \": 3 kW\" is no answer; write: name = number unit
2 of 3 right
";
    assert_eq!(outcome.out.split_once('\n').unwrap().1, expected);
}

#[test]
fn names_cannot_steer_a_terminal() {
    let text = "\u{1b}[2Jx = 1 kg/s\nw = 1 \u{1b}[31mkg\nw\u{7}\n";
    let Some(outcome) = mark(&folder("steer"), &[asked("w", kg_per_s(0.2))], text) else { return };
    assert!(!outcome.out.contains(['\u{1b}', '\u{7}']), "{:?}", outcome.out);
    assert!(outcome.out.contains("\"?[2Jx\""), "{}", outcome.out);
}

#[test]
fn files_that_are_no_answers_are_refused() {
    let folder = folder("files");
    let key = write_key(&folder, &[asked("w", kg_per_s(0.2))]);
    let file = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    let huge = "w = 0.2 kg/s\n".repeat(20_000);
    let utf16: Vec<u8> = "\u{feff}w = 0.2 kg/s".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let cases = [
        (file("empty.txt", b""), "empty.txt is empty"),
        (file("blank.txt", b" \n\t\n"), "blank.txt is empty"),
        (file("remarks.txt", b"# only\n# remarks\n"), "remarks.txt has no line with an answer"),
        (
            file("latin.txt", b"w = 0.2 kg/s\nt = 20 \xb0C\n"),
            "latin.txt, line 2: not UTF-8 text; save the file as UTF-8",
        ),
        (file("utf16.txt", &utf16), "utf16.txt, line 1: not UTF-8 text"),
        (file("huge.txt", huge.as_bytes()), "huge.txt is longer than 200 kB"),
        (folder.join("missing.txt"), "missing.txt cannot be read (No such file or directory)"),
        (folder.clone(), "is a folder; name a file"),
    ];
    for (path, words) in cases {
        let Some(outcome) = run("mark", &[&path, &key]) else { return };
        assert_eq!((outcome.code, outcome.out.as_str()), (Some(2), ""), "{words}");
        assert!(outcome.err.contains(words), "{words}\n{}", outcome.err);
    }
}

#[test]
fn damaged_keys_are_refused() {
    let folder = folder("keys");
    let answers = folder.join("answers.txt");
    fs::write(&answers, "w = 0.2 kg/s\n").unwrap();
    let good = asked("w", kg_per_s(0.2));
    let with = |field: &str, value: Value| {
        let mut exercise = good.clone();
        exercise[field] = value;
        exercise
    };
    let unit = |field: &str, value: Value| {
        let mut exercise = good.clone();
        exercise["units"][1][field] = value;
        exercise
    };
    let cases = [
        (vec![with("name", json!(7))], "exercise 1: name must be a text"),
        (vec![with("value", json!("0.2"))], "exercise 1: value must be a number"),
        (vec![with("value", json!(true))], "exercise 1: value must be a number"),
        (vec![with("value", json!(0))], "exercise 1: value must not be 0"),
        (vec![with("within", json!(0))], "exercise 1: value must not be 0, within must be above 0"),
        (vec![with("units", json!([]))], "exercise 1: units must be a list"),
        (vec![with("other_zero", json!(3))], "exercise 1: an object is expected"),
        (vec![with("mistakes", json!(3))], "exercise 1: mistakes must be a list"),
        (vec![with("mistakes", json!([3]))], "exercise 1: an object is expected"),
        (vec![with("mistakes", json!([{"value": "x"}]))], "exercise 1: value must be a number"),
        (vec![with("mistakes", json!([{"value": 1}]))], "exercise 1: words must be a text"),
        (
            vec![with("mistakes", json!([{"value": 0, "words": "w"}]))],
            "exercise 1: value of a mistake must not be 0",
        ),
        (vec![unit("factor", json!(0))], "exercise 1: factor must be above 0"),
        (vec![unit("aliases", json!("g"))], "exercise 1: aliases must be a list of texts"),
        (vec![json!([])], "exercise 1: an object is expected"),
        (vec![good.clone(), with("name", json!(" W"))], "two exercises of one name"),
        (vec![], "is not a key; make one with notebooks/student --key NAME"),
    ];
    for (exercises, words) in cases {
        let Some(outcome) = run("mark", &[&answers, &write_key(&folder, &exercises)]) else { return };
        assert_eq!(outcome.code, Some(2), "{words}");
        assert!(outcome.err.contains(words), "{words}\n{}", outcome.err);
    }
    let key = folder.join("key.json");
    let texts = [
        ("{", "is not JSON"),
        ("[1]", "no JSON object"),
        ("{\"shaftwork_key\": NaN}", "NaN is not a number of JSON"),
        (&"[".repeat(100_000), "is not JSON"),
        (
            &json!({"shaftwork_key": 1, "exercises": [with("value", json!(7))]})
                .to_string()
                .replace(":7", ":1e999"),
            "value must be a finite number",
        ),
    ];
    for (text, words) in texts {
        fs::write(&key, text).unwrap();
        let outcome = run("mark", &[&answers, &key]).unwrap();
        assert_eq!(outcome.code, Some(2), "{words}");
        assert!(outcome.err.contains(words), "{words}\n{}", outcome.err);
    }
}

fn read(path: &Path) -> Value {
    serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap()
}

/// The format stores a text as one string or as a list of its lines.
fn source(cell: &Value) -> String {
    match &cell["source"] {
        Value::Array(lines) => lines.iter().map(|line| line.as_str().unwrap()).collect(),
        text => text.as_str().unwrap().to_string(),
    }
}

fn is_worked(cell: &Value) -> bool {
    cell["metadata"]["tags"].as_array().is_some_and(|tags| tags.contains(&"worked".into()))
}

#[test]
fn from_the_notebook_to_full_marks() {
    let folder = folder("circle");
    let key = folder.join("first.json");
    let Some(made) = run("student", &[Path::new("--key"), Path::new("first_boost"), Path::new("-o"), &key])
    else {
        return;
    };
    assert_eq!((made.code, made.err.as_str()), (Some(0), ""), "{}", made.out);
    // By hand from what the notebook gives: pi B^2 S; P bsfc lambda AFR; speed-density; losses; similarity.
    let displacement = core::f64::consts::PI * 0.084_f64.powi(3);
    let flow = 180.0 * 0.300 / 3600.0 * 0.85 * 14.57;
    let manifold = flow * 287.05 * 318.15 / (0.95 * displacement * 6500.0 / 120.0);
    let ratio = (manifold + 6e3) / (101_325.0 - 3e3);
    let corrected = flow * (298.15_f64 / 288.15).sqrt() * 101.325 / 98.325;
    let rise = |from: f64| from * (1.0 + (ratio.powf(0.4 / 1.4) - 1.0) / 0.72);
    let hot = rise(298.15) - 273.15;
    let answers = format!(
        "displacement = {:.0} cc\nair flow = {:.2} lb/min\nmanifold pressure = {:.1} kPa\npressure ratio = {ratio:.2}\ncorrected flow = {corrected:.3} kg/s\noutlet temperature = {hot:.0} degC\n",
        displacement * 1e6,
        flow / 0.453_592_37 * 60.0,
        manifold / 1e3,
    );
    let file = folder.join("answers.txt");
    fs::write(&file, &answers).unwrap();
    let marked = run("mark", &[&file, &key]).unwrap();
    assert_eq!(marked.code, Some(0), "{}{}", marked.out, marked.err);
    assert!(marked.out.ends_with("6 of 6 right\n"), "{}", marked.out);
    // What mistakes lead to came along, each worked out by hand here.
    let cases = [
        (
            format!("manifold pressure = {:.1} kPa", manifold / 1e3 - 101.325),
            "this is the gauge pressure; add the barometer, 101.3 kPa",
        ),
        (
            format!("manifold pressure = {:.2} kPa", manifold / 1e3 * 45.0 / 318.15),
            "times too small: manifold temperature (T_m) entered in degC; the formula takes K",
        ),
        (
            format!("manifold pressure = {:.0} kPa", manifold / 1e3 / 0.453_592_37 * 60.0),
            "air flow (W) entered in lb/min; the formula takes kg/s",
        ),
        (
            format!("pressure ratio = {:.3}", (manifold - 101_325.0 + 6e3) / (101_325.0 - 3e3)),
            "manifold pressure (p_m) entered as gauge; the formula takes it absolute",
        ),
        (format!("pressure ratio = {:.3}", manifold / 101_325.0), "each pressure difference left out"),
        (
            format!("corrected flow = {:.4} kg/s", flow * (25.0_f64 / 15.0).sqrt() * 101.325 / 98.325),
            "26.9 % too large: each temperature entered in degC; the formula takes K",
        ),
        (
            format!("corrected flow = {:.4} kg/s", flow * (298.15_f64 / 288.15).sqrt()),
            "the loss of the filter left out",
        ),
        (
            format!("outlet temperature = {:.1} degC", rise(25.0)),
            "inlet total temperature (T_01) entered in degC; the formula takes K",
        ),
        (
            format!("outlet temperature = {:.1} K", rise(25.0)),
            "inlet total temperature (T_01) entered in degC; the formula takes K",
        ),
        (format!("outlet temperature = {hot:.1} K"), "the number is right in degC, but it is given in K"),
        (
            format!("outlet temperature = {:.1} K", 298.15 * ratio.powf(0.4 / 1.4)),
            "isentropic efficiency, total to total (eta) left out",
        ),
        (format!("outlet temperature = {:.1} K", hot - 25.0), "this is the rise; add the inlet temperature"),
        (
            format!("outlet temperature = {:.1} degC", hot - 25.0),
            "this is the rise; add the inlet temperature",
        ),
    ];
    for (answer, words) in cases {
        fs::write(&file, &answer).unwrap();
        let marked = run("mark", &[&file, &key]).unwrap();
        let line = marked.out.lines().nth(1).unwrap();
        assert!(line.ends_with(words), "{answer}: {line}");
        assert_eq!(marked.code, Some(1));
    }
}

/// What is said of a mistake names no number of the working: it may be the answer to another exercise.
#[test]
fn words_of_a_mistake_give_no_answer_away() {
    let notebook = read(&first_boost());
    let outputs = notebook["cells"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|cell| cell["outputs"].as_array().into_iter().flatten());
    let mut seen = 0;
    for mistake in outputs.filter_map(|output| output["data"][KEY]["mistakes"].as_array()).flatten() {
        let words = mistake["words"].as_str().unwrap();
        let numbers = words.split(|c: char| !c.is_ascii_digit() && c != '.').filter(|part| part.len() > 2);
        assert_eq!(numbers.count(), 0, "{words}");
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn the_student_copy_holds_no_answers() {
    let folder = folder("copy");
    let copy = folder.join("copy.ipynb");
    let before = fs::read(first_boost()).unwrap();
    let Some(made) = run("student", &[&first_boost(), Path::new("-o"), &copy]) else { return };
    assert_eq!((made.code, made.err.as_str()), (Some(0), ""));
    assert_eq!(fs::read(first_boost()).unwrap(), before);
    let (ours, theirs) = (read(&first_boost()), read(&copy));
    let [ours, theirs] = [&ours["cells"], &theirs["cells"]].map(|cells| cells.as_array().unwrap());
    assert_eq!(theirs.len(), ours.len() + 1);
    let mut prompts = Vec::new();
    for (our, their) in ours.iter().zip(theirs) {
        if our["cell_type"] != "code" {
            assert_eq!(our, their);
            continue;
        }
        assert_eq!((&their["outputs"], &their["execution_count"]), (&json!([]), &Value::Null));
        let text = source(their);
        if is_worked(our) {
            assert!(text.lines().all(|line| line.starts_with("// Your turn")), "{text}");
            assert!(!is_worked(their));
            prompts.push(text);
        } else if source(our).starts_with(":dep") {
            assert_eq!(text, source(our) + "\nshaftwork::notebook::hide_steps()?;");
        } else {
            assert_eq!(text, source(our));
        }
    }
    assert_eq!(prompts.len(), 7);
    assert_eq!(prompts[3], "// Your turn: pressure ratio.");
    assert_eq!(prompts[2], "// Your turn: manifold pressure (an absolute pressure).");
    let sheet = source(theirs.last().unwrap());
    assert!(sheet.contains("\nair flow =   # kg/s, g/s, kg/h, lb/s, lb/min, lb/h\n"), "{sheet}");
    assert!(sheet.contains("\npressure ratio =   # a plain number\n"), "{sheet}");
    // No digit of any answer, anywhere.
    let text = fs::read_to_string(&copy).unwrap();
    for digits in ["1.86", "0.1857", "185.7", "177.0", "0.1947", "378.6", "105.4", "105.5"] {
        assert!(!text.contains(digits), "{digits}");
    }
    assert!(!text.contains(KEY));
}

/// A small notebook that has been run, by hand.
fn small() -> Value {
    let exercise = asked("w", kg_per_s(0.2));
    let output = json!({ "output_type": "execute_result", "execution_count": 2, "metadata": {},
        "data": { "text/plain": ["w: 0.2 kg/s"], KEY: exercise } });
    json!({
        "nbformat": 4, "nbformat_minor": 5, "metadata": {},
        "cells": [
            { "cell_type": "code", "id": "answers-0", "metadata": {}, "execution_count": 1, "outputs": [],
              "source": [":dep shaftwork = { path = \"..\" }\n", "use shaftwork::prelude::*;\n"] },
            { "cell_type": "code", "id": "b", "metadata": { "tags": ["worked"] }, "execution_count": 2, "outputs": [output],
              "source": "// exercise(s) of today\nexercise(\"w\", kg_per_s(0.2), percent(0.5))?" },
        ],
    })
}

type Change = fn(&mut Value);

/// Writes a small notebook changed in one way, and makes its copy and its key.
fn refused(change: Change) -> Option<String> {
    let folder = folder("refused");
    let path = folder.join("small.ipynb");
    let mut notebook = small();
    change(&mut notebook);
    fs::write(&path, notebook.to_string()).unwrap();
    let outcome = run("student", &[&path])?;
    assert_eq!((outcome.code, outcome.out.as_str()), (Some(2), ""));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "nothing else may be written");
    Some(outcome.err)
}

#[test]
fn notebooks_that_would_give_away_or_lose_an_exercise_are_refused() {
    let Some(untagged) = refused(|notebook| notebook["cells"][1]["metadata"] = json!({})) else { return };
    assert!(untagged.contains("cell 2 shows the answer to \"w\", so it must be tagged worked"), "{untagged}");
    let changes: [(Change, &str); 9] = [
        (|n| n["cells"][1]["outputs"] = json!([]), "cell 2 sets an exercise that its output does not show"),
        (
            |n| n["cells"][1]["source"] = "exercise(); exercise()".into(),
            "cell 2 sets an exercise that its output",
        ),
        (|n| n["cells"].as_array_mut().unwrap().truncate(1), "the notebook has no exercise"),
        (|n| drop(n["cells"].as_array_mut().unwrap().remove(0)), "no cell begins with :dep"),
        (
            |n| n["cells"][0]["metadata"] = json!({"tags": ["worked"]}),
            "no cell begins with :dep, or it is tagged worked",
        ),
        (
            |n| {
                let again = n["cells"][1].clone();
                n["cells"].as_array_mut().unwrap().push(again);
            },
            "cell 3: there is an exercise \"w\" already",
        ),
        (
            |n| n["cells"][1]["outputs"][0]["data"][KEY]["value"] = json!("x"),
            "cell 2: the key in its output is damaged",
        ),
        (|n| n["nbformat"] = json!(3), "is not a notebook of format 4"),
        (|n| n["cells"][1]["source"] = json!([1]), "is not a notebook of format 4"),
    ];
    for (change, words) in changes {
        let err = refused(change).unwrap();
        assert!(err.contains(words), "{words}\n{err}");
    }
    // By the beginning of its name, as `notebooks/run` takes it; not where several begin so.
    let out = folder("begun").join("key.json");
    let begun = run("student", &[Path::new("--key"), Path::new("first_b"), Path::new("-o"), &out]).unwrap();
    assert_eq!((begun.code, begun.err.as_str()), (Some(0), ""));
    assert_eq!(read(&out)["notebook"], "first_boost.ipynb");
    let several = run("student", &[Path::new("0")]).unwrap();
    assert_eq!(several.code, Some(2));
    assert!(
        several.err.contains("0 begins the names of 01_complete_sizing, 02_air_and_fuel"),
        "{}",
        several.err
    );
    assert!(several.err.contains("; name one of them"), "{}", several.err);
    let missing = run("student", &[Path::new("no_such")]).unwrap();
    assert_eq!(missing.code, Some(2));
    assert!(
        missing.err.contains("no notebook no_such; with exercises there are: first_boost"),
        "{}",
        missing.err
    );
}

#[test]
fn only_what_was_written_here_is_overwritten() {
    let folder = folder("overwrite");
    let path = folder.join("small.ipynb");
    fs::write(&path, small().to_string()).unwrap();
    let make = |arguments: &[&Path]| run("student", &[&[path.as_path()], arguments].concat());
    let (copy, key) = (folder.join("small.student.ipynb"), folder.join("small.key.json"));
    for (file, arguments) in [(&copy, &[][..]), (&key, &[Path::new("--key")][..])] {
        let Some(first) = make(arguments) else { return };
        assert_eq!(first.code, Some(0), "{}", first.err);
        let text = fs::read_to_string(file).unwrap();
        assert_eq!(make(arguments).unwrap().code, Some(0));
        assert_eq!(fs::read_to_string(file).unwrap(), text);
        // Someone has worked in it, or it was never ours.
        let mut edited = read(file);
        match edited.get_mut("exercises") {
            Some(exercises) => exercises[0]["within"] = json!(0.02),
            None => edited["cells"][1]["source"] = "let mine = 1;".into(),
        }
        for foreign in
            [edited.to_string(), "my notes".into(), String::new(), "{}".into(), "{\"metadata\": 3}".into()]
        {
            fs::write(file, &foreign).unwrap();
            let refused = make(arguments).unwrap();
            assert_eq!(refused.code, Some(2), "{foreign}");
            assert!(
                refused.err.contains("is there already and is not as it was written here"),
                "{}",
                refused.err
            );
            assert_eq!(fs::read_to_string(file).unwrap(), foreign);
        }
        fs::remove_file(file).unwrap();
    }
    let itself = make(&[Path::new("-o"), &path]).unwrap();
    assert_eq!(itself.code, Some(2));
    assert_eq!(read(&path), small());
    let nowhere = make(&[Path::new("-o"), &folder.join("missing/copy.ipynb")]).unwrap();
    assert_eq!(nowhere.code, Some(2));
    assert!(nowhere.err.contains("cannot be written (No such file or directory)"), "{}", nowhere.err);
    // No half-written file is left anywhere.
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
    // A copy of a copy would have no answers.
    assert_eq!(make(&[]).unwrap().code, Some(0));
    let again = run("student", &[&copy]).unwrap();
    assert!(again.code == Some(2) && again.err.contains("is a student copy"), "{}", again.err);
}
