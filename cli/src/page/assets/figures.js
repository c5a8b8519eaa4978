// Sliders and switches: figures of the touched chain. What was moved stays here when another part is touched.

/** Element with attributes and children. */
export function element(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === undefined || value === null) continue;
    made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children);
  return made;
}

/** The stop nearest to a figure. */
function nearest(stops, figure) {
  let best = 0;
  stops.forEach((stop, at) => {
    if (Math.abs(stop - figure) < Math.abs(stops[best] - figure)) best = at;
  });
  return best;
}

/** As it is typed after `=`: enough places that nothing is lost. */
function typed(figure, unit) {
  return `${Number(figure.toFixed(9))} ${unit}`;
}

/** One slider; `moved` gets its name and figure, or null where it is back at the plan's. */
function slider(figure, moved) {
  const id = `figure-${figure.set.replace(/[^A-Za-z0-9]+/g, "-")}`;
  const at = nearest(figure.stops, figure.value);
  const input = element("input", {
    type: "range", id, min: 0, max: figure.stops.length - 1, step: 1, value: at, "data-set": figure.set,
    "aria-valuetext": figure.shown,
  });
  input.value = at;
  const shown = element("output", { for: id }, figure.shown);
  const sheet = figure.sheet ? ` (${figure.sheet})` : "";
  const back = element("button", { type: "button", "aria-label": `as it was: ${figure.set}` }, "as it was");
  back.disabled = Math.abs(figure.value - figure.plan) < 1e-9;
  const home = nearest(figure.stops, figure.plan);
  const tell = () => {
    const stop = figure.stops[Number(input.value)];
    moved(figure.set, Number(input.value) === home ? null : typed(stop, figure.unit));
  };
  input.addEventListener("input", tell);
  back.addEventListener("click", () => {
    input.value = home;
    tell();
  });
  return element("div", { class: "figure" }, element("label", { for: id }, figure.set + sheet), input, shown, back);
}

/** Lays out the sliders, or only tells their figures where they are the same ones: a slider that is held must not be replaced. */
export function showSliders(box, figures, moved) {
  const names = figures.map((figure) => figure.set).join("\n");
  if (box.dataset.names !== names) {
    box.replaceChildren(...figures.map((figure) => slider(figure, moved)));
    box.dataset.names = names;
    return;
  }
  figures.forEach((figure, at) => {
    const row = box.children[at];
    row.querySelector("output").textContent = figure.shown;
    row.querySelector("button").disabled = Math.abs(figure.value - figure.plan) < 1e-9;
    const input = row.querySelector("input");
    input.setAttribute("aria-valuetext", figure.shown);
    if (document.activeElement !== input) input.value = nearest(figure.stops, figure.value);
  });
}

function checkbox(text, checked, changed, hint) {
  const input = element("input", { type: "checkbox" });
  input.checked = checked;
  input.addEventListener("change", () => changed(input.checked));
  const label = element("label", {}, input, ` ${text}`);
  if (hint) label.append(element("small", {}, ` ${hint}`));
  return label;
}

/** Deviations of the file, each to be made or not. */
export function showDeviations(box, offered, made, changed) {
  const key = JSON.stringify(offered);
  if (box.dataset.key !== key) {
    box.dataset.key = key;
    const legend = box.querySelector("legend");
    box.replaceChildren(legend, ...offered.map((deviation) =>
      checkbox(deviation.name, made.has(deviation.name), (on) => changed(deviation.name, on), deviation.why)));
  } else {
    offered.forEach((deviation, at) => {
      box.querySelectorAll("input")[at].checked = made.has(deviation.name);
    });
  }
  box.hidden = offered.length === 0;
}

/** Parts to reverse and readings to take. */
export function showSwitches(box, touched, state, changed) {
  const key = JSON.stringify([touched.reversible, touched.readings, [...state.reverse], [...state.take]]);
  if (box.dataset.key === key) return;
  box.dataset.key = key;
  const turned = touched.reversible.map((part) =>
    checkbox(`${part} reversed`, state.reverse.has(part), (on) => {
      on ? state.reverse.add(part) : state.reverse.delete(part);
      changed();
    }));
  const read = touched.readings.map(([statement, readings]) => {
    const choice = element("select", {}, ...readings.map((reading, at) =>
      element("option", { value: at === 0 ? "" : reading }, reading)));
    choice.value = state.take.get(statement) ?? "";
    choice.addEventListener("change", () => {
      choice.value ? state.take.set(statement, choice.value) : state.take.delete(statement);
      changed();
    });
    return element("label", {}, `${statement}, understood `, choice);
  });
  box.replaceChildren(...turned, ...read);
}
