// A button that takes along what stands in the boxes it belongs to.
const AT_MOST_MS = 60000;  // then it may be pressed again, answered or not
function render({ model, el }) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "jupyter-widgets jupyter-button widget-button";
  button.style.cssText = "width: 180px; height: 44px";
  let waiting = 0;
  function rest() {
    clearTimeout(waiting);
    waiting = 0;
    button.textContent = model.get("label");
    button.removeAttribute("aria-disabled");
  }
  async function press() {
    if (waiting) return;
    waiting = setTimeout(rest, AT_MOST_MS);
    button.textContent = model.get("busy");
    button.setAttribute("aria-disabled", "true");
    const stood = {};
    for (const [name, trait] of model.get("asks")) {
      const box = await model.widget_manager.get_model(name).catch(() => null);
      if (box) stood[name] = box.get(trait);
    }
    model.send({ stood });
  }
  button.addEventListener("click", press);
  model.on("change:answered", rest);
  rest();
  el.append(button);
  return () => { clearTimeout(waiting); model.off("change:answered", rest); button.remove(); };
}
export default { render };
