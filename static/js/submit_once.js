// <form data-submit-once>: a second tap with a wet glove sends nothing twice. The server refuses doubles too.

export function submitOnce(root) {
  for (const form of root.querySelectorAll("form[data-submit-once]")) {
    form.addEventListener("submit", (event) => {
      if (form.dataset.sent) {
        event.preventDefault();
        return;
      }
      form.dataset.sent = "yes";
    });
  }
  // Coming back with the browser's button shows the page as it was left: let it be sent again.
  globalThis.addEventListener("pageshow", () => {
    for (const form of root.querySelectorAll("form[data-submit-once]")) {
      delete form.dataset.sent;
    }
  });
}
