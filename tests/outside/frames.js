// The page in frames as wide as a phone, a desk and a sheet of paper, measured; told in the title.
const own = document.documentElement.outerHTML.replace(/<script>[\s\S]*<\/script>/, "");
const paper = own.replace("@media print", "@media all");
// A4 without its margins, in pixels of a 96th of an inch.
const sheet = { width: Math.floor((178 / 25.4) * 96), height: Math.floor((265 / 25.4) * 96) };
const out = [];
let count = 0;
const show = (html, width, check) =>
  new Promise((done) => {
    const frame = document.createElement("iframe");
    frame.style.cssText = `width:${width}px;height:900px;border:0`;
    frame.onload = () => {
      check(frame.contentDocument, width);
      frame.remove();
      done();
    };
    frame.srcdoc = html;
    document.body.append(frame);
  });
const within = (page, width) => {
  // A scroll bar takes its room from the page.
  const room = page.documentElement.clientWidth;
  if (room < width - 20) out.push(`${width}: the frame is ${room}`);
  if (page.documentElement.scrollWidth > room) out.push(`${width}: the page is wider`);
  for (const e of page.querySelectorAll("main *")) {
    const box = e.getBoundingClientRect();
    count += 1;
    if (box.width > 0 && (box.right > room + 0.5 || box.left < -0.5))
      out.push(`${width}: ${e.tagName} ${e.textContent.slice(0, 50)}`);
  }
};
const printed = (page, width) => {
  within(page, width);
  for (const row of page.querySelectorAll("tr, figure")) {
    const style = getComputedStyle(row).breakInside;
    if (style !== "avoid" || row.getBoundingClientRect().height > sheet.height)
      out.push(`paper: cut ${row.textContent.slice(0, 50)}`);
  }
  for (const head of page.querySelectorAll("thead"))
    if (getComputedStyle(head).display !== "table-header-group") out.push("paper: a head is not repeated");
};
(async () => {
  await show(own, 390, within);
  await show(own, 1280, within);
  await show(paper, sheet.width, printed);
  document.title = `outside:${out.length} of ${count}`;
  document.body.dataset.outside = out.slice(0, 20).join(" | ");
})();
