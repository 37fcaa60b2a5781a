// On the plain page about trust: asks the pages over https, which a browser only does where it trusts their certificate.

const answer = document.getElementById("answer");
const pages = document.body.dataset.pages;

async function look() {
  let trusts = false;
  try {
    await fetch(`${pages}/ready`, { mode: "no-cors", cache: "no-store" });
    trusts = true;
  } catch {
    // Not yet.
  }
  answer.textContent = trusts ? answer.dataset.yes : answer.dataset.no;
  answer.hidden = false;
  if (trusts && !answer.querySelector("a")) {
    const link = document.createElement("a");
    link.href = `${pages}/`;
    link.textContent = answer.textContent;
    answer.replaceChildren(link);
  }
}

look();
// Somebody comes back from the settings of the phone.
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
