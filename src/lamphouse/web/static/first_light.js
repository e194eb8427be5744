// Puts the page into the light it was left in before anything is drawn.
{
  const lux = Number(localStorage.getItem("room light") ?? "300");
  document.documentElement.dataset.light = lux < 20 ? "dark" : "bench";
}
