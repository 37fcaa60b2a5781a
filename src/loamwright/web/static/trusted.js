// A browser shows pages whose warning was passed by, but registers no worker for them: so the worker tells whether it trusts them.

const answer = document.getElementById("answer");

async function look() {
  if (!("serviceWorker" in navigator)) {
    answer.textContent = answer.dataset.cannot;
    return;
  }
  try {
    await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
    answer.textContent = answer.dataset.yes;
    answer.dataset.trusted = "yes";
  } catch {
    answer.textContent = answer.dataset.no;
    answer.dataset.trusted = "no";
  }
}

look();
