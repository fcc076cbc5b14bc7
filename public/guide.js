// Finds what is called so in a panel, unfolds what hides it, brings it into sight and gives it the keyboard.
export function goTo(id, name, otherwise) {
  const panel = document.getElementById(id);
  if (!panel) return;
  const found = called(panel, name) ?? called(panel, otherwise) ?? panel;
  for (let fold = found.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  if (!found.matches("button, input, select, textarea, summary, [tabindex]")) found.tabIndex = -1;
  found.scrollIntoView({ block: "center" });
  found.focus({ focusVisible: true });
}

function called(panel, name) {
  if (!name) return undefined;
  const all = [...panel.querySelectorAll("label, button, summary, legend, h2, h3")];
  const one = all.find((each) => each.checkVisibility({ contentVisibilityAuto: true }) && text(each) === name)
    ?? all.find((each) => text(each) === name);
  return one?.control ?? one;
}

const text = (element) => element.textContent.trim();

// Brings it into sight: to the top where the page scrolls, or only as far as it must.
export function showPart(id, isWhole) {
  document.getElementById(id)?.scrollIntoView({ block: isWhole ? "start" : "nearest" });
}

export function printPage() {
  window.print();
}
