// Draws nothing, and says that it was drawn: from then on the page takes in what is sent to it.
function render({ model }) {
  model.send({ here: true });
}
export default { render };
