// Steps to put in order. A step moves at once, here; the focus goes with it, and each button says what it moves and where.
function render({ model, el }) {
  const id = `ws-order-${Math.random().toString(36).slice(2)}`;  // a page may load this module once for each order
  const caption = document.createElement("p"), list = document.createElement("ol"), told = document.createElement("p");
  caption.className = "ws-caption";
  caption.id = id;
  list.setAttribute("aria-labelledby", id);
  told.className = "ws-unseen";
  told.setAttribute("role", "status");
  el.classList.add("ws-order");
  el.append(caption, list, told);
  const words = () => new Map(model.get("steps"));
  // the order as it stands: as it was answered, or as it was given
  const order = () => (model.get("value") ? model.get("value").split(", ") : [...words().keys()]);
  function move(value, by) {
    const now = order(), place = now.indexOf(value), target = place + by;
    if (target < 0 || target >= now.length) return;
    now.splice(target, 0, ...now.splice(place, 1));
    model.set("value", now.join(", "));
    model.save_changes();
    show();
    const buttons = [...list.children[target].querySelectorAll("button")], [wanted, other] = by < 0 ? buttons : buttons.reverse();
    (wanted.disabled ? other : wanted).focus();
    told.textContent = `Now step ${target + 1} of ${now.length}: ${words().get(value)}`;
  }
  function button(sign, way, value, text, by, off) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "jupyter-widgets jupyter-button widget-button";
    made.textContent = sign;
    made.title = `Move ${way}`;
    made.setAttribute("aria-label", `Move ${way}: ${text}`);
    made.disabled = off;
    made.addEventListener("click", () => move(value, by));
    return made;
  }
  function show() {
    const named = words(), now = order();
    caption.textContent = model.get("label");
    list.replaceChildren(...now.map((value, place) => {
      const row = document.createElement("li"), text = document.createElement("span"), step = named.get(value) ?? value;
      text.textContent = `${place + 1}. ${step}`;
      row.append(button("↑", "up", value, step, -1, place === 0), button("↓", "down", value, step, 1, place === now.length - 1), text);
      return row;
    }));
  }
  const heard = ["label", "steps", "value"].map((name) => `change:${name}`);
  const shown = () => { if (!list.contains(document.activeElement)) show(); };  // what is moved here is shown already
  for (const name of heard) model.on(name, shown);
  show();
  return () => { for (const name of heard) model.off(name, shown); };
}
export default { render };
