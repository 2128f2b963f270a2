// The band's list: what is pasted, or comes out of a file, is read at once; nothing is built by that.

const pick = document.getElementById("pick");
const box = document.getElementById("text");
const said = document.getElementById("said");
const name = document.getElementById("keep-name");
const asked = document.querySelector(".asked input");
const refusal = document.getElementById("refusal-title");

document.getElementById("file").hidden = false;
if (location.hash === "#file") pick.focus();
else if (location.hash === "#rows") document.getElementById("desk").focus();
else if (refusal) refusal.focus(); // what stands against it is seen and read out before the field that it is about
else if (!matchMedia("(pointer: coarse)").matches) (asked ?? name ?? box).focus(); // no keyboard over a phone's page

box.addEventListener("paste", () => setTimeout(() => box.form.requestSubmit()));
box.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) box.form.requestSubmit();
});

// Enter in the name builds; in an answer it looks again, as the first button of the form does.
name?.addEventListener("keydown", (event) => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  box.form.requestSubmit(document.querySelector("[formaction]"));
});

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
