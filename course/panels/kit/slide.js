// One labelled slider: the browser's own range input, so that keys, touch and screen readers work by themselves.
let count = 0;
function render({ model, el }) {
  const id = `ws-slide-${Date.now().toString(36)}-${count++}`;
  const label = document.createElement("label"), input = document.createElement("input");
  const shown = document.createElement("output");
  label.htmlFor = id;
  shown.htmlFor = id;
  input.type = "range";
  input.id = id;
  el.classList.add("ws-slide");
  el.append(label, input, shown);
  function show() {
    label.textContent = model.get("label");
    input.min = 0;
    input.max = model.get("steps");
    if (Number(input.value) !== model.get("position")) input.value = model.get("position");
    shown.textContent = model.get("shown");
    input.setAttribute("aria-valuetext", model.get("shown"));
  }
  input.addEventListener("input", () => {
    model.set("position", Number(input.value));
    model.save_changes();
  });
  const heard = ["label", "steps", "position", "shown"].map((name) => `change:${name}`);
  for (const name of heard) model.on(name, show);
  show();
  return () => { for (const name of heard) model.off(name, show); };
}
export default { render };
