// A widget that anywidget gave up after two seconds takes its messages the plain way; see hearing.py.
const NOTHING = { content: { data: { method: "none" } } };
function hearing(render) {
  return async (shown) => {
    let model = null;
    try {
      model = await shown.model.widget_manager.get_model(shown.model.get("own_id"));
      await model._handle_comm_msg(NOTHING);
    } catch {
      listen(model);
    }
    return render(shown);
  };
}
function listen(model) {
  if (!model?.comm) return;  // a page without a kernel
  const plain = Object.getPrototypeOf(Object.getPrototypeOf(model));  // what anywidget's own model is made from
  model.comm.on_msg((message) => plain._handle_comm_msg.call(model, message));
  model.comm.send({ method: "request_state" });  // what was said in the meantime
}
