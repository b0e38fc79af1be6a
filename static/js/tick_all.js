// <button type="button" data-tick-all="met" data-within="#criteria" hidden>: ticks the choices of that value in the
// groups where nothing is chosen yet. What somebody has already judged stays as it is.

function isUnanswered(scope, input) {
  if (input.type === "checkbox") {
    return !input.checked;
  }
  return !scope.querySelector(`input[name="${CSS.escape(input.name)}"]:checked`);
}

export function offerTickingAll(root) {
  for (const button of root.querySelectorAll("[data-tick-all]")) {
    const scope = root.querySelector(button.dataset.within) ?? button.form;
    if (!scope) {
      continue;
    }
    button.hidden = false;
    button.addEventListener("click", () => {
      for (const input of scope.querySelectorAll("input[type=radio], input[type=checkbox]")) {
        if (input.value === button.dataset.tickAll && !input.disabled && isUnanswered(scope, input)) {
          input.checked = true;
          input.dispatchEvent(new Event("change", { bubbles: true }));
        }
      }
    });
  }
}
