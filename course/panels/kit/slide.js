// One labelled slider: the browser's own range input, so that keys, touch and screen readers work by themselves.
function render({ model, el }) {
  const id = `ws-slide-${Math.random().toString(36).slice(2)}`;  // a page may load this module once for each slider
  const label = document.createElement("label"), input = document.createElement("input");
  const shown = document.createElement("output");
  label.htmlFor = id;
  shown.htmlFor = id;
  input.type = "range";
  input.id = id;
  el.classList.add("ws-slide");
  el.append(label, input, shown);
  let timer = 0;
  const play = document.createElement("button");
  function stop() {
    clearInterval(timer);
    timer = 0;
    play.textContent = "play";
  }
  function move(to) {
    model.set("position", to);
    model.save_changes();
  }
  if (model.get("stride") > 0) {
    play.type = "button";
    stop();
    play.addEventListener("click", () => {
      if (timer) return stop();
      if (model.get("position") >= model.get("last")) move(0);
      play.textContent = "stop";
      timer = setInterval(() => {
        const next = model.get("position") + model.get("stride");
        move(Math.min(next, model.get("last")));
        if (next >= model.get("last")) stop();
      }, 160);
    });
    el.append(play);
  }
  function show() {
    label.textContent = model.get("label");
    input.min = 0;
    input.max = model.get("steps");
    if (Number(input.value) !== model.get("position")) input.value = model.get("position");
    shown.textContent = model.get("shown");
    input.setAttribute("aria-valuetext", model.get("shown"));
  }
  input.addEventListener("input", () => {
    stop();
    move(Number(input.value));
  });
  const heard = ["label", "steps", "position", "shown"].map((name) => `change:${name}`);
  for (const name of heard) model.on(name, show);
  show();
  return () => { stop(); for (const name of heard) model.off(name, show); };
}
export default { render };
