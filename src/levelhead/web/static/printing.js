// Once nothing is waited for any more, the sheets that were asked for are printed by themselves.
document.querySelector("form[data-ready] button")?.click();
