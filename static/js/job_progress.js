// <div data-job-open>: asks for the page again every two seconds and shows what is new, until nothing more comes.

const PAUSE = 2000;

async function lookAgain(root) {
  const shown = root.querySelector("[data-job-open]");
  if (!shown) {
    return;
  }
  try {
    const response = await fetch(globalThis.location.href, { headers: { Accept: "text/html" } });
    if (!response.ok || response.redirected) {
      // Signed out, or gone: the page itself says which.
      globalThis.location.reload();
      return;
    }
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    if (!page.querySelector("[data-job-open]")) {
      globalThis.location.reload();
      return;
    }
    for (const part of page.querySelectorAll("[data-job-part]")) {
      const old = root.querySelector(`[data-job-part="${part.dataset.jobPart}"]`);
      if (old && old.innerHTML !== part.innerHTML) {
        old.replaceChildren(...part.childNodes);
      }
    }
  } catch {
    // No signal for a moment: ask again.
  }
  setTimeout(() => lookAgain(root), PAUSE);
}

export function showProgress(root) {
  if (root.querySelector("[data-job-open]")) {
    setTimeout(() => lookAgain(root), PAUSE);
  }
}
