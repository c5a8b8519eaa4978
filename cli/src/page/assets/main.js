// The page: what its controls stand at, asked for and shown. All words and pictures come from the program.

import { asker, onNews, tick } from "./ask.js";
import { showChoice, showPicture } from "./drawing.js";
import { showDeviations, showSliders, showSwitches } from "./figures.js";

const by = (id) => document.getElementById(id);

/** What the controls stand at. */
const state = {
  asBuilt: false, view: "side", part: null, face: null, mustFit: null,
  deviations: new Set(), set: new Map(), reverse: new Set(), take: new Map(),
};
let asked = 0;

function body() {
  const pairs = (map) => [...map].map(([name, value]) => `${name}=${value}`);
  return {
    as_built: state.asBuilt, view: state.view, part: state.part, face: state.face, must_fit: state.mustFit,
    deviations: [...state.deviations], set: pairs(state.set), reverse: [...state.reverse], take: pairs(state.take),
  };
}

const ask = asker("/look", show, (error) => {
  by("verdict").textContent = `The program does not answer: ${error.message}`;
});

function again() {
  asked = performance.now();
  ask(body());
}

function touch(part) {
  Object.assign(state, { part, face: null, mustFit: null });
  again();
}

function html(id, text) {
  by(id).innerHTML = text ?? "";
}

function show(look) {
  document.title = look.title ? `${look.title} · Strongback` : "Strongback";
  by("title").textContent = look.title || "Strongback";
  by("trouble").hidden = !look.faults;
  by("faults").textContent = look.faults ?? "";
  document.body.classList.toggle("old", Boolean(look.faults));
  by("refused").hidden = !look.refused;
  by("refused").textContent = look.refused ?? "";
  by("caution").textContent = look.caution;
  if (!look.laid_out) {
    by("verdict").textContent = "No layout yet.";
    return;
  }
  by("verdict").textContent = look.verdict;
  by("verdict").className = look.well ? "well" : "amiss";
  by("worst").hidden = !look.worst;
  by("worst").textContent = look.worst ? `Worst: ${look.worst}.` : "";
  by("of").hidden = !look.record;
  showPicture(by("picture"), look.picture, touch);
  const parts = look.parts.map(([name, stage]) => [name, stage === "not started" ? name : `${name}, ${stage}`]);
  showChoice(by("part"), "none", parts, state.part);
  const fits = look.must_fits.map(([name, word]) => [name, word === "fits" ? name : `${name}: ${word}`]);
  showChoice(by("must-fit"), "none", fits, state.mustFit);
  html("fits", look.fits);
  html("odds", look.odds);
  by("odds-section").hidden = !look.odds;
  html("recut", look.recut);
  by("recut-section").hidden = look.recut === null;
  by("recut-head").textContent = look.recut_count === 1 ? "To re-cut: 1 part" : `To re-cut: ${look.recut_count} parts`;
  html("shifts", look.shifts);
  by("shifts-section").hidden = look.shifts === null;
  showTouched(look);
  showDeviations(by("deviations"), look.deviations, state.deviations, (name, on) => {
    on ? state.deviations.add(name) : state.deviations.delete(name);
    again();
  });
  const changed = state.deviations.size + state.set.size + state.reverse.size + state.take.size > 0;
  by("take-back").disabled = !changed;
  by("keep").disabled = !look.snippet;
  by("snippet").value = look.snippet ?? "";
  if (!look.snippet) by("snippet-box").hidden = true;
  requestAnimationFrame(() => {
    document.body.dataset.drawn = String(performance.now() - asked);
    document.body.dataset.version = String(look.version);
    document.body.dataset.worked = String(look.milliseconds);
  });
}

function showTouched(look) {
  const touched = look.touched;
  by("touched").hidden = !touched;
  by("touch-first").hidden = Boolean(touched?.sliders.length);
  if (!touched) {
    showSliders(by("figures"), [], moved);
    showSwitches(by("switches"), { reversible: [], readings: [] }, state, again);
    return;
  }
  by("touched-head").textContent = touched.title;
  html("chain", touched.told);
  html("strip", touched.strip);
  by("strip").hidden = !touched.strip;
  by("face-of").hidden = !touched.part;
  showChoice(by("face"), null, touched.faces.map(([name, place]) => [name, `${name}: ${place}`]), touched.face);
  showSliders(by("figures"), touched.sliders, moved);
  showSwitches(by("switches"), touched, state, again);
  by("stage").hidden = !touched.part;
  const made = look.parts.find(([name]) => name === touched.part)?.[1];
  const word = { "not started": "NotStarted", cut: "Cut", drilled: "Drilled", fitted: "Fitted" }[made];
  for (const choice of by("stage").elements.stage) choice.checked = choice.value === word;
}

function moved(name, figure) {
  figure === null ? state.set.delete(name) : state.set.set(name, figure);
  again();
}

document.addEventListener("click", (event) => {
  const row = event.target.closest("button.touch");
  if (!row) return;
  if (row.dataset.part) {
    touch(row.dataset.part);
  } else {
    Object.assign(state, { part: null, face: null, mustFit: row.dataset.mustFit });
    again();
  }
  by("touched").scrollIntoView({ block: "nearest" });
});
by("seen").addEventListener("change", (event) => {
  if (event.target.name === "from") state.view = event.target.value;
  if (event.target.name === "of") state.asBuilt = event.target.value === "built";
  if (event.target.id === "part") return touch(event.target.value || null);
  if (event.target.id === "must-fit") {
    Object.assign(state, { part: null, face: null, mustFit: event.target.value || null });
  }
  again();
});
by("seen").addEventListener("submit", (event) => event.preventDefault());
by("face").addEventListener("change", (event) => {
  state.face = event.target.value;
  again();
});
by("let-go").addEventListener("click", () => touch(null));
by("take-back").addEventListener("click", () => {
  for (const changes of [state.deviations, state.set, state.reverse, state.take]) changes.clear();
  by("figures").dataset.names = "";
  again();
});
by("keep").addEventListener("click", () => {
  by("snippet-box").hidden = false;
  by("snippet").focus();
  by("snippet").select();
});
by("stage").addEventListener("change", async (event) => {
  const part = state.part;
  by("ticked").textContent = "";
  try {
    const ticked = await tick(part, event.target.value);
    by("ticked").textContent = ticked.done ?? ticked.refused;
  } catch (error) {
    by("ticked").textContent = `It is not on record: ${error.message}`;
  }
  again();
});
onNews(again, (lost) => document.body.classList.toggle("lost", lost));
again();
