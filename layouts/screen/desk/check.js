// A file that is chosen, or dropped anywhere on the page, is checked at once.

const form = document.querySelector("#check");
const file = document.querySelector("#file");

file.addEventListener("change", () => { if (file.files.length) form.submit(); });
document.addEventListener("dragover", (event) => event.preventDefault());
document.addEventListener("drop", (event) => {
  event.preventDefault();
  if (event.dataTransfer.files.length !== 1) return;
  file.files = event.dataTransfer.files;
  form.submit();
});
