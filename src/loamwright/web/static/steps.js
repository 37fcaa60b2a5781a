// Counting with a glove on: one more, one less, never below nothing. What is not a whole number is left for the person.

function onStep(event) {
  const button = event.target.closest("[data-step]");
  if (!button) return;
  const input = button.parentElement.querySelector("input");
  const typed = input.value.trim();
  if (!/^\d*$/.test(typed)) return;
  input.value = String(Math.max(0, Number(typed) + Number(button.dataset.step)));
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

document.addEventListener("click", onStep);
