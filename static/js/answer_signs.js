// <div data-signs hidden>: signs that a phone's number keys do not have. A keyboard needs none of this.

export function offerSigns(root) {
  const signs = root.querySelector("[data-signs]");
  const field = root.querySelector('input.answer[inputmode="decimal"]');
  if (!signs || !field || !globalThis.matchMedia("(pointer: coarse)").matches) {
    return;
  }
  signs.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) {
      field.setRangeText(button.value, field.selectionStart, field.selectionEnd, "end");
      field.focus();
    }
  });
  field.after(signs);
  signs.hidden = false;
}
