// The walk takes over the light of the show day, and asks anew when another channel is picked.

try {
  document.documentElement.toggleAttribute("data-light", localStorage.getItem("levelhead-light") === "1");
} catch {
  // a browser that keeps nothing stays dark
}
