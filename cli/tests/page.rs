//! The page as a person uses it: the real binary, a real browser without a window.

#![allow(clippy::unwrap_used, clippy::panic)]

mod browser;
mod outside;

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use browser::{Browser, is_there, wait_for};
use outside::{not_checked, tell};

const BINARY: &str = env!("CARGO_BIN_EXE_strongback");

/// A copy of a demo model with its page.
struct Served {
    folder: tempfile::TempDir,
    name: String,
    url: String,
    program: Child,
}

fn demos() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-models")
}

fn serve(name: &str) -> Served {
    let folder = tempfile::tempdir().unwrap();
    let model = folder.path().join(name);
    std::fs::copy(demos().join(name), &model).unwrap();
    let mut program = Command::new(BINARY)
        .arg("page")
        .arg(&model)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let mut out = BufReader::new(program.stdout.take().unwrap());
    out.read_line(&mut line).unwrap();
    let url = line
        .split("http")
        .nth(1)
        .map(|rest| format!("http{}", rest.trim()));
    Served {
        folder,
        name: name.to_owned(),
        url: url.unwrap_or_else(|| panic!("no address in {line:?}")),
        program,
    }
}

impl Served {
    fn model(&self) -> PathBuf {
        self.folder.path().join(&self.name)
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.model()).unwrap()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// A copy of a demo model in a browser with a window of this size, once it is drawn; nothing where there is no browser.
fn shown(model: &str, size: [u32; 2]) -> Option<(Served, Browser)> {
    if !is_there() {
        return None;
    }
    let served = serve(model);
    let browser = Browser::start(size);
    browser.open(&served.url);
    drawn(&browser);
    Some((served, browser))
}

/// Waits for the picture that follows an input.
fn drawn(browser: &Browser) {
    browser.until("return document.querySelector('#picture svg') && document.body.dataset.drawn");
}

/// Forgets the last picture, so that the next one can be waited for.
fn forget(browser: &Browser) {
    browser.script("delete document.body.dataset.drawn");
}

/// Chooses from a list, as a mouse does.
fn choose(browser: &Browser, list: &str, value: &str) {
    browser.script(&format!(
        "const list = document.querySelector('{list}'); list.value = '{value}'; list.dispatchEvent(new Event('change', {{bubbles: true}}))"
    ));
}

/// What a command prints about a model.
fn printed(served: &Served, words: &[&str]) -> String {
    let command = Command::new(BINARY)
        .arg(words[0])
        .arg(served.model())
        .args(&words[1..])
        .output()
        .unwrap();
    String::from_utf8(command.stdout).unwrap()
}

#[test]
fn every_demo_is_shown_without_a_complaint() {
    if !is_there() {
        return;
    }
    let browser = Browser::start([1200, 900]);
    for entry in std::fs::read_dir(demos()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !name.ends_with(".ron") {
            continue;
        }
        let served = serve(&name);
        browser.open(&served.url);
        drawn(&browser);
        let verdict = printed(&served, &["fit"]);
        let verdict = verdict.split("\n\n").next().unwrap().replace('\n', " ");
        assert_eq!(browser.text("#verdict"), verdict, "{name}");
        for (from, seen) in [("plan", "from above"), ("front", "from behind")] {
            forget(&browser);
            browser.script(&format!(
                "document.querySelector('#seen input[value={from}]').click()"
            ));
            drawn(&browser);
            browser.until(&format!(
                "return document.querySelector('#picture svg title').textContent.includes('{seen}')"
            ));
        }
        assert_eq!(browser.complaints(), Vec::<String>::new(), "{name}");
        // the program ends before the browser does
        browser.open("about:blank");
        browser.complaints();
    }
}

/// The list of parts to re-cut follows a slider, and says what `recut` says.
#[test]
fn a_slider_moves_the_fuselage() {
    let Some((served, browser)) = shown("first-bay.ron", [1200, 900]) else {
        return;
    };
    forget(&browser);
    choose(&browser, "#part", "floor");
    browser.until("return document.querySelector('[data-set=\"firewall to panel frame\"]')");
    drawn(&browser);
    forget(&browser);
    // one step of the slider, by keyboard
    browser.keys("[data-set=\"firewall to panel frame\"]", "\u{E014}");
    browser.until("return document.querySelector('#recut table')");
    let shown = browser.text(".figure output");
    assert_eq!(shown, "19 13/32 in");
    let told = printed(
        &served,
        &["recut", "--set", "firewall to panel frame=19 13/32 in"],
    );
    let rows = browser.script(
        "return [...document.querySelectorAll('#recut tbody tr')].map(row => [...row.children].map(cell => cell.textContent))",
    );
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = flat(&told);
    let mut parts = 0;
    for row in rows.as_array().unwrap() {
        let part = row[0].as_str().unwrap();
        if part.is_empty() {
            continue;
        }
        parts += 1;
        let what = row[1].as_str().unwrap();
        let first: Vec<&str> = row[2].as_str().unwrap().split(':').collect();
        assert!(
            told.contains(&flat(&format!("{part} {what}"))),
            "{row}: {told}"
        );
        assert!(told.contains(&flat(first[0])), "{row}: {told}");
    }
    assert_eq!(
        browser.text("#recut-head"),
        format!("To re-cut: {parts} parts")
    );
    assert_eq!(parts, 3);
    // as a deviation to copy, and back again
    browser.click("#keep");
    let snippet = browser.script("return document.getElementById('snippet').value");
    assert!(
        snippet
            .as_str()
            .unwrap()
            .contains(r#"Set("firewall to panel frame", "19.40625 in")"#),
        "{snippet}"
    );
    assert_eq!(
        served.text(),
        std::fs::read_to_string(demos().join("first-bay.ron")).unwrap()
    );
    browser.click("#take-back");
    browser.until("return document.getElementById('recut-section').hidden");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// How long from an input to the picture: printed, and no time is asserted.
#[test]
fn how_fast_a_slider_is() {
    let Some((_served, browser)) = shown("centre-fuselage.ron", [1200, 900]) else {
        return;
    };
    choose(&browser, "#part", "seat frame");
    browser.until("return document.querySelector('#figures input')");
    let mut times = Vec::new();
    for _ in 0..8 {
        drawn(&browser);
        forget(&browser);
        browser.keys("#figures input", "\u{E014}");
        let time = browser.until("return document.body.dataset.drawn");
        let worked = browser.script("return document.body.dataset.worked");
        let number =
            |value: &serde_json::Value| -> f64 { value.as_str().unwrap().parse().unwrap() };
        times.push((number(&time), number(&worked)));
    }
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (time, worked) = times[times.len() / 2];
    let build = if cfg!(debug_assertions) {
        "debug build"
    } else {
        "release build"
    };
    tell(&format!(
        "centre-fuselage, input to drawn: median {time:.0} ms, of which {worked:.0} ms worked out ({build})"
    ));
}

#[test]
fn a_broken_file_is_told_in_place_and_mended() {
    let Some((served, browser)) = shown("first-bay.ron", [900, 700]) else {
        return;
    };
    let sound = served.text();
    std::fs::write(
        served.model(),
        sound.replace("\"floor.aft\", face", "\"flor.aft\", face"),
    )
    .unwrap();
    browser.until("return !document.getElementById('trouble').hidden");
    let faults = browser.text("#faults");
    assert!(
        faults.contains("flor") && faults.contains('^') && faults.contains("floor"),
        "{faults}"
    );
    // the last good layout stays, marked as old
    assert_eq!(
        browser.script("return document.body.classList.contains('old')"),
        true
    );
    assert_eq!(
        browser.script("return !!document.querySelector('#picture svg')"),
        true
    );
    // as an editor saves: another file takes the name
    let beside = served.folder.path().join("saved");
    std::fs::write(
        &beside,
        sound.replace("Teasel, first bay", "Teasel, mended"),
    )
    .unwrap();
    std::fs::rename(&beside, served.model()).unwrap();
    browser.until("return document.getElementById('trouble').hidden");
    wait_for("the new title", || {
        (browser.text("#title") == "Teasel, mended").then_some(())
    });
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn a_stage_that_is_ticked_is_on_disk() {
    let Some((served, browser)) = shown("first-bay.ron", [1200, 900]) else {
        return;
    };
    choose(&browser, "#part", "rail L");
    browser.until("return !document.getElementById('stage').hidden");
    browser.click("#stage input[value=Cut]");
    let told = browser.until("return document.getElementById('ticked').textContent");
    assert_eq!(told, "`rail L` is cut now, and was not started.");
    let record = std::fs::read_to_string(served.folder.path().join("first-bay.built.ron")).unwrap();
    let flat = record.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("\"rail L\": ( stage: Cut") || flat.contains("\"rail L\": (stage: Cut"),
        "{record}"
    );
    browser.until("return [...document.getElementById('part').options].some(option => option.textContent === 'rail L, cut')");
    // what can be asked of what is built now
    assert_eq!(
        browser.script("return document.getElementById('of').hidden"),
        false
    );
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// From the first key to a part re-cut, without a mouse.
#[test]
fn the_keyboard_is_enough() {
    let Some((_served, browser)) = shown("first-bay.ron", [1200, 900]) else {
        return;
    };
    // by Tab alone to the list of parts, then to a slider
    let focused = |what: &str| {
        browser.script(&format!("return document.activeElement.matches('{what}')")) == true
    };
    let tab_to = |what: &str| {
        for _ in 0..200 {
            if focused(what) {
                return;
            }
            browser.press("\u{E004}");
        }
        panic!("{what} can't be reached by Tab");
    };
    tab_to("#part");
    // the second part of the list
    browser.press("\u{E015}\u{E015}");
    browser.until("return document.querySelector('#figures input')");
    tab_to("#figures input");
    browser.press("\u{E012}\u{E012}");
    browser.until("return document.querySelector('#recut table')");
    tab_to("button.touch[data-part]");
    browser.press("\u{E006}");
    browser.until("return !document.getElementById('touched').hidden");
}

/// One request as its bytes; the answer's first line.
fn raw(served: &Served, request: &str) -> String {
    use std::io::{Read, Write};
    let address = served
        .url
        .trim_start_matches("http://")
        .trim_end_matches('/');
    let mut stream = std::net::TcpStream::connect(address).unwrap();
    let request = request.replace("ADDRESS", address).replace('\n', "\r\n");
    // it may be refused before it was read to its end
    let _ = stream.write_all(request.as_bytes());
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer);
    answer.lines().next().unwrap_or_default().to_owned()
}

#[test]
fn strangers_and_floods_are_refused() {
    let served = serve("first-bay.ron");
    let status = |request: &str| {
        let line = raw(&served, request);
        line.split(' ').nth(1).unwrap_or_default().to_owned()
    };
    assert_eq!(
        status("GET / HTTP/1.1\nHost: ADDRESS\nConnection: close\n\n"),
        "200"
    );
    assert_eq!(
        status("GET / HTTP/1.1\nHost: example.org\nConnection: close\n\n"),
        "403"
    );
    assert_eq!(
        status("GET / HTTP/1.1\nHost: ADDRESS\nOrigin: http://example.org\nConnection: close\n\n"),
        "403"
    );
    let post = |body: &str, kind: &str| {
        format!(
            "POST /look HTTP/1.1\nHost: ADDRESS\nContent-Type: {kind}\nContent-Length: {}\nConnection: close\n\n{body}",
            body.len()
        )
    };
    assert_eq!(status(&post("{}", "application/json")), "200");
    // what a form of another site could send
    assert_eq!(status(&post("{}", "text/plain")), "415");
    assert_eq!(status(&post("{\"set\": 3}", "application/json")), "422");
    assert_eq!(status(&post("{", "application/json")), "400");
    let flood = format!("{{\"part\": \"{}\"}}", "x".repeat(100_000));
    assert_eq!(status(&post(&flood, "application/json")), "413");
    // papers to print, and none that is no paper
    let get = |what: &str| {
        status(&format!(
            "GET {what} HTTP/1.1\nHost: ADDRESS\nConnection: close\n\n"
        ))
    };
    for paper in [
        "/book",
        "/paper/joints",
        "/paper/blanks",
        "/paper/order",
        "/paper/mass",
    ] {
        assert_eq!(get(paper), "200", "{paper}");
    }
    for nothing in ["/paper/locate", "/paper/..%2f..%2fetc%2fpasswd", "/x"] {
        assert_eq!(get(nothing), "404", "{nothing}");
    }
    // names that are no name, in changes of every kind
    let odd = r#"{"part": "\u0000", "face": "x", "deviations": ["none"], "set": ["=", "x=1 ft", "bay"], "reverse": [""], "take": ["a=b"], "as_built": true}"#;
    assert_eq!(status(&post(odd, "application/json")), "200");
    let lone: Vec<_> = std::fs::read_dir(served.folder.path()).unwrap().collect();
    assert_eq!(lone.len(), 1, "{lone:?}");
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_at_once_though_a_page_listens() {
    let mut served = serve("first-bay.ron");
    let address = served
        .url
        .trim_start_matches("http://")
        .trim_end_matches('/')
        .to_owned();
    let mut listening = std::net::TcpStream::connect(&address).unwrap();
    std::io::Write::write_all(
        &mut listening,
        format!("GET /news HTTP/1.1\r\nHost: {address}\r\n\r\n").as_bytes(),
    )
    .unwrap();
    std::io::Read::read_exact(&mut listening, &mut [0; 12]).unwrap();
    let id = served.program.id().to_string();
    Command::new("kill").args(["-INT", &id]).status().unwrap();
    let ended = wait_for("the end", || served.program.try_wait().unwrap());
    assert_eq!(ended.code(), Some(0));
}

#[test]
fn a_model_that_is_not_there_is_refused() {
    let ended = Command::new(BINARY)
        .args(["page", "no such model.ron"])
        .output()
        .unwrap();
    assert_eq!(ended.status.code(), Some(2));
    let told = String::from_utf8_lossy(&ended.stderr);
    assert!(told.contains("there is no such file"), "{told}");
}

/// Rules of WCAG 2.2 AA and good practice, by axe-core (npm), where `STRONGBACK_AXE` says where its `axe.min.js` lies.
fn axe_complains(browser: &Browser, what: &str) {
    let Some(path) = std::env::var_os("STRONGBACK_AXE") else {
        return not_checked("STRONGBACK_AXE does not say where axe-core's axe.min.js lies");
    };
    let axe = std::fs::read_to_string(path).unwrap();
    browser.script(&axe);
    let found = browser.script_that_waits(
        "const done = arguments[0]; axe.run().then(result => done(result.violations.map(rule => \
         [rule.id, rule.help, rule.nodes.slice(0, 3).map(node => node.html)])))",
    );
    assert_eq!(found, serde_json::json!([]), "{what}");
}

#[test]
fn a_screen_reader_finds_its_way() {
    let Some((served, browser)) = shown("contradicting-sheets.ron", [1200, 900]) else {
        return;
    };
    axe_complains(&browser, "a plan with faults");
    choose(&browser, "#part", "tray");
    browser.until("return document.querySelector('#figures input')");
    axe_complains(&browser, "a part touched");
    browser.click("#deviations input");
    browser.until("return !document.getElementById('recut-section').hidden");
    axe_complains(&browser, "a deviation made");
    browser.devtools(
        "Emulation.setEmulatedMedia",
        serde_json::json!({"features": [{"name": "prefers-color-scheme", "value": "dark"}]}),
    );
    axe_complains(&browser, "in the dark");
    std::fs::write(served.model(), "(format: 1,").unwrap();
    browser.until("return !document.getElementById('trouble').hidden");
    axe_complains(&browser, "a broken file");
    let book = served.folder.path().join("book.html");
    let made = Command::new(BINARY)
        .arg("book")
        .arg(demos().join("contradicting-sheets.ron"))
        .arg("-o")
        .arg(&book)
        .status();
    assert_eq!(made.unwrap().code(), Some(1));
    browser.open(&format!("file://{}", book.display()));
    axe_complains(&browser, "the book");
}

#[test]
fn it_prints() {
    let Some((_served, browser)) = shown("first-bay.ron", [1200, 900]) else {
        return;
    };
    let pdf = browser.printed();
    assert!(
        pdf.starts_with(b"%PDF-") && pdf.len() > 10_000,
        "{}",
        pdf.len()
    );
}

/// Nothing sticks out of a narrow screen, nor of a wide one.
#[test]
fn it_fits_every_width() {
    let Some((_served, browser)) = shown("centre-fuselage.ron", [360, 740]) else {
        return;
    };
    choose(&browser, "#part", "seat frame");
    browser.until("return document.querySelector('#figures input')");
    for width in [360, 768, 1280, 2560] {
        browser.resize([width, 900]);
        let over = browser.script(
            "return document.documentElement.scrollWidth - document.documentElement.clientWidth",
        );
        assert_eq!(over, 0, "at {width} px");
    }
}
