// <input type="hidden" data-away>: the seconds for which the page lay in the background. They are no working time.

export function countTimeAway(root) {
  const field = root.querySelector("input[data-away]");
  if (!field) {
    return;
  }
  let leftAt = null;
  root.addEventListener("visibilitychange", () => {
    if (root.visibilityState === "hidden") {
      leftAt = Date.now();
    } else if (leftAt !== null) {
      field.value = String(Number(field.value || 0) + Math.round((Date.now() - leftAt) / 1000));
      leftAt = null;
    }
  });
}
