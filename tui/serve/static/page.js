"use strict";
// Typing works without a click first. The program must hear of the focus, so it is given once the program paints.
window.addEventListener("load", () => {
  document.querySelector("#again").addEventListener("click", () => window.location.reload());
  new MutationObserver((_, watching) => {
    if (document.body.classList.contains("-first-byte")) {
      watching.disconnect();
      document.querySelector("#terminal textarea").focus();
    }
  }).observe(document.body, { attributes: true });
});
