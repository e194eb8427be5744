// The first screen: forms that open a project, told about what cannot be opened.

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset.open === undefined) return;
  event.preventDefault();
  const at = /** @type {HTMLElement} */ (document.getElementById("said"));
  at.textContent = "Opening.";
  const content = new URLSearchParams();
  for (const [name, value] of new FormData(form)) content.append(name, String(value));
  try {
    const answer = await fetch(form.action, { method: "POST", body: content });
    if (answer.redirected) return location.assign(answer.url);
    at.textContent = (await answer.json()).message;
  } catch {
    at.textContent = "The page has lost its server. Start lamphouse open again.";
  }
});
