// A file into the box: the app turns a workbook into lines; nothing is built by that.

const pick = document.getElementById("pick");
const box = document.getElementById("text");
const said = document.getElementById("said");

document.getElementById("file").hidden = false;
if (location.hash === "#file") pick.focus();

pick.addEventListener("change", async () => {
  const [file] = pick.files;
  if (!file) return;
  said.textContent = `Reading ${file.name}.`;
  const query = new URLSearchParams({ name: file.name });
  const response = await fetch(`/list/file?${query}`, { method: "POST", body: file }).catch(() => null);
  const words = response ? await response.text() : "The app does not answer.";
  if (!response?.ok) return void (said.textContent = words);
  box.value = words;
  said.textContent = `${file.name} stands in the box. Show what you understand is the next step.`;
  box.form.requestSubmit();
});
