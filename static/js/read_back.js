// <input data-read-back="L">: says the typed number back with its digits in groups and its unit, so that a nought too
// many is seen before it is sent. A text that is not one plain number is left alone; the server judges it.

const PLAIN_NUMBER = /^(\d+)(?:[.,](\d+))?$/;
const THIN_SPACE = "\u202f";

export function grouped(text) {
  const found = PLAIN_NUMBER.exec(text.replaceAll(/\s/g, ""));
  if (!found) {
    return "";
  }
  const [, whole, decimals] = found;
  const groups = whole.replaceAll(/\B(?=(\d{3})+$)/g, THIN_SPACE);
  return decimals === undefined ? groups : `${groups}.${decimals}`;
}

export function readNumbersBack(root) {
  for (const input of root.querySelectorAll("input[data-read-back]")) {
    const output = document.createElement("output");
    output.className = "read-back";
    output.htmlFor = input.id;
    const show = () => {
      const number = grouped(input.value);
      output.textContent = number ? `= ${number}\u00a0${input.dataset.readBack}` : "";
    };
    (input.closest(".with-unit") ?? input).after(output);
    input.addEventListener("input", show);
    show();
  }
}
