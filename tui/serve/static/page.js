"use strict";
// Typing works without a click first, and the page starts again without its address being typed.
window.addEventListener("load", () => {
  document.querySelector("#terminal textarea")?.focus();
  document.querySelector("#again").addEventListener("click", () => window.location.reload());
});
