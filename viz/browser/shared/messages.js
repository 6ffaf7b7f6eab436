/* What is said to Python: every message goes through here. */

/** Send a message of a kind that the component declares in its `messages`, with its fields. */
export function sendMessage(model, kind, fields = {}) {
  model.send_msg({ ...fields, kind });
}
