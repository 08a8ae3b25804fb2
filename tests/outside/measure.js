// Every text's box against its label's, told in the page's title.
const out = [];
for (const svg of document.querySelectorAll("svg.label")) {
  const box = svg.getBoundingClientRect();
  for (const t of svg.querySelectorAll("text, path")) {
    const r = t.getBoundingClientRect();
    const slack = 0.5;
    if (r.left < box.left - slack || r.right > box.right + slack ||
        r.top < box.top - slack || r.bottom > box.bottom + slack)
      out.push(t.textContent.slice(0, 60));
  }
}
document.title = `outside:${out.length} of ${document.querySelectorAll("svg.label text").length}`;
document.body.dataset.outside = out.join(" | ");
