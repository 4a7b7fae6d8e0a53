/* A file that is too large is said to be so before it is sent: a browser shows no answer to a body it could not send. */
"use strict";
document.addEventListener("submit", (event) => {
  const form = event.target.closest(".choose-list");
  if (!form) return;
  const file = form.querySelector("input[type=file]").files[0], most = Number(form.dataset.most);
  const why = form.querySelector(".why");
  const large = file && file.size > most;
  why.hidden = !large;
  if (!large) return;
  event.preventDefault();
  why.textContent = `${file.name} is ${Math.ceil(file.size / 1e6)} MB; the desk takes ${Math.floor(most / 1e6)} MB. `
    + "Take a longer list in with layshaft catalogue import.";
});
