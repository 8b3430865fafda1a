// A file that is chosen, or dropped anywhere on the page, is sent at once.

const file = document.querySelector("#file");

if (file) {
  file.addEventListener("change", () => { if (file.files.length) file.form.requestSubmit(); });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer.files.length !== 1) return;
    file.files = event.dataTransfer.files;
    file.form.requestSubmit();
  });
}
