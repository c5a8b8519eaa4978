//! A browser without a window, driven by W3C WebDriver (https://www.w3.org/TR/webdriver2/). In: addresses, clicks, keys, scripts. Out:
//! texts and screenshots. Needs Debian's `chromium` and `chromium-driver`.

use std::net::TcpListener;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use base64::Engine;
use serde_json::{Value, json};

use crate::outside::not_checked;

/// Where the programs lie.
const DRIVER: &str = "/usr/bin/chromedriver";
const CHROMIUM: &str = "/usr/bin/chromium";
/// How long anything may take: a debug build on a busy machine is slow.
pub(crate) const PATIENCE: Duration = Duration::from_secs(60);
/// The name of an element in WebDriver's answers.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// A browser with one window.
pub(crate) struct Browser {
    driver: Child,
    session: String,
}

/// Whether there is a browser; where it is required and there is none, the test fails.
pub(crate) fn is_there() -> bool {
    let there = Path::new(DRIVER).exists() && Path::new(CHROMIUM).exists();
    if !there {
        not_checked(&format!("{DRIVER} and {CHROMIUM} are not both there"));
    }
    there
}

impl Browser {
    /// Starts one, as wide and as high as this.
    pub(crate) fn start(size: [u32; 2]) -> Browser {
        let port = TcpListener::bind(("127.0.0.1", 0))
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let driver = Command::new(DRIVER)
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut browser = Browser {
            driver,
            session: format!("http://127.0.0.1:{port}"),
        };
        wait_for("the driver", || {
            let status = minreq::get(format!("{}/status", browser.session))
                .with_timeout(5)
                .send();
            status
                .ok()
                .filter(|answer| answer.status_code == 200)
                .map(|_| ())
        });
        let arguments = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
        ];
        let answer = browser.post(
            "/session",
            &json!({"capabilities": {"alwaysMatch": {
                "goog:loggingPrefs": {"browser": "ALL"},
                "goog:chromeOptions": {"binary": CHROMIUM, "args": arguments},
            }}}),
        );
        let id = answer["sessionId"].as_str().unwrap().to_owned();
        browser.session = format!("{}/session/{id}", browser.session);
        browser.resize(size);
        browser
    }

    fn post(&self, what: &str, body: &Value) -> Value {
        let answer = minreq::post(format!("{}{what}", self.session))
            .with_json(body)
            .unwrap()
            .with_timeout(PATIENCE.as_secs())
            .send()
            .unwrap();
        let value = answer.json::<Value>().unwrap()["value"].clone();
        assert_eq!(answer.status_code, 200, "{what} {body}: {value}");
        value
    }

    fn get(&self, what: &str) -> Value {
        let answer = minreq::get(format!("{}{what}", self.session))
            .with_timeout(PATIENCE.as_secs())
            .send()
            .unwrap();
        let value = answer.json::<Value>().unwrap()["value"].clone();
        assert_eq!(answer.status_code, 200, "{what}: {value}");
        value
    }

    /// Makes what the page has for itself so wide and so high, whatever the smallest window is.
    pub(crate) fn resize(&self, [width, height]: [u32; 2]) {
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false}),
        );
    }

    /// Asks the browser's own tools.
    pub(crate) fn devtools(&self, command: &str, parameters: Value) -> Value {
        self.post(
            "/goog/cdp/execute",
            &json!({"cmd": command, "params": parameters}),
        )
    }

    pub(crate) fn open(&self, url: &str) {
        self.post("/url", &json!({ "url": url }));
    }

    fn element(&self, css: &str) -> String {
        let found = self.post("/element", &json!({"using": "css selector", "value": css}));
        found[ELEMENT].as_str().unwrap().to_owned()
    }

    pub(crate) fn click(&self, css: &str) {
        self.post(&format!("/element/{}/click", self.element(css)), &json!({}));
    }

    /// Keys to one element.
    pub(crate) fn keys(&self, css: &str, keys: &str) {
        let element = self.element(css);
        self.post(
            &format!("/element/{element}/value"),
            &json!({ "text": keys }),
        );
    }

    /// Keys to whatever has the focus.
    pub(crate) fn press(&self, keys: &str) {
        let actions: Vec<Value> = keys
            .chars()
            .flat_map(|key| {
                [
                    json!({"type": "keyDown", "value": key}),
                    json!({"type": "keyUp", "value": key}),
                ]
            })
            .collect();
        self.post(
            "/actions",
            &json!({"actions": [{"type": "key", "id": "keys", "actions": actions}]}),
        );
    }

    pub(crate) fn text(&self, css: &str) -> String {
        let element = self.element(css);
        self.get(&format!("/element/{element}/text"))
            .as_str()
            .unwrap()
            .to_owned()
    }

    /// What a script returns.
    pub(crate) fn script(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({"script": script, "args": []}))
    }

    /// What a script hands to its last argument.
    pub(crate) fn script_that_waits(&self, script: &str) -> Value {
        self.post("/execute/async", &json!({"script": script, "args": []}))
    }

    /// Waits until a script returns something true.
    pub(crate) fn until(&self, script: &str) -> Value {
        wait_for(script, || {
            let value = self.script(script);
            let nothing = value.is_null() || value == false || value == "";
            (!nothing).then_some(value)
        })
    }

    /// The page printed to PDF.
    pub(crate) fn printed(&self) -> Vec<u8> {
        decoded(&self.post("/print", &json!({})))
    }

    /// What the page complained of.
    pub(crate) fn complaints(&self) -> Vec<String> {
        let log = self.post("/se/log", &json!({"type": "browser"}));
        let entries = log.as_array().unwrap().iter();
        entries
            .filter(|entry| entry["level"] == "SEVERE")
            .map(|entry| entry["message"].to_string())
            .collect()
    }
}

fn decoded(text: &Value) -> Vec<u8> {
    base64::engine::general_purpose::STANDARD
        .decode(text.as_str().unwrap())
        .unwrap()
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = minreq::delete(&self.session).with_timeout(10).send();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// Tries again until there is something.
pub(crate) fn wait_for<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let begun = Instant::now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(begun.elapsed() < PATIENCE, "waited in vain: {what}");
        std::thread::sleep(Duration::from_millis(15));
    }
}
