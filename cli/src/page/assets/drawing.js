// The picture: parts in it can be touched, and reached by keyboard from the list beside it.

/** Puts a picture in its place; the parts of it tell `touch` their names. */
export function showPicture(box, svg, touch) {
  box.innerHTML = svg;
  const picture = box.querySelector("svg");
  if (!picture) return;
  picture.removeAttribute("width");
  picture.removeAttribute("height");
  picture.addEventListener("click", (event) => {
    const part = event.target.closest("[data-part]");
    if (part) touch(part.dataset.part);
  });
}

/** Fills a list to choose from; `first` stands for nothing chosen. */
export function showChoice(select, first, names, chosen) {
  const key = JSON.stringify([first, names]);
  if (select.dataset.key !== key) {
    select.dataset.key = key;
    const option = (value, text) => Object.assign(document.createElement("option"), { value, textContent: text });
    const rest = names.map(([name, text]) => option(name, text));
    select.replaceChildren(...(first === null ? [] : [option("", first)]), ...rest);
  }
  select.value = chosen ?? "";
}
