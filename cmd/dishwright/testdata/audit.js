// Looks a sheet over in the browser and returns what is wrong with it, as sentences.
(() => {
  const faults = [];
  const say = (s) => { if (faults.length < 20) faults.push(s); };
  const name = (e) => e.tagName.toLowerCase() + " \"" + (e.textContent || "").trim().slice(0, 40) + "\"";
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) say("the page is wider than the window: " + document.documentElement.scrollWidth + " of " + wide);

  // Nothing leaves the page, no text leaves its box.
  for (const e of document.body.querySelectorAll("*")) {
    if (e.closest("svg") && e.tagName.toLowerCase() !== "svg") continue;
    const r = e.getBoundingClientRect();
    if (r.width && (r.right > wide + 1 || r.left < -1)) say(name(e) + " leaves the page");
    const hides = getComputedStyle(e).overflowX !== "visible";
    if (hides && e.scrollWidth > e.clientWidth + 2) say(name(e) + " is clipped");
  }

  // Text of drawings stays inside them, and does not lie on other text.
  for (const svg of document.querySelectorAll("svg")) {
    const box = svg.getBoundingClientRect();
    if (box.width < 100) say("a drawing is " + box.width + " wide");
    const texts = [...svg.querySelectorAll("text")].map((t) => [t, t.getBoundingClientRect()]);
    texts.forEach(([t, r], i) => {
      if (r.left < box.left - 1 || r.right > box.right + 1 || r.top < box.top - 1 || r.bottom > box.bottom + 1) say(name(t) + " leaves its drawing");
      for (const [u, q] of texts.slice(i + 1)) {
        const x = Math.min(r.right, q.right) - Math.max(r.left, q.left), y = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
        if (x > 0.15 * Math.min(r.width, q.width) && y > 0.35 * Math.min(r.height, q.height)) say(name(t) + " lies on " + name(u));
      }
    });
  }

  // Contrast, after WCAG 2.1, 1.4.3: at least 4.5 to 1.
  const light = (c) => {
    const [r, g, b] = c.match(/[\d.]+/g).map(Number).map((v) => (v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = (e) => {
    for (; e; e = e.parentElement) {
      const c = getComputedStyle(e).backgroundColor;
      if (c !== "rgba(0, 0, 0, 0)" && c !== "transparent") return c;
    }
    return "rgb(255, 255, 255)";
  };
  for (const e of document.querySelectorAll("h1,h2,h3,p,li,td,th,dt,dd,caption,figcaption,b,text,.care")) {
    const s = getComputedStyle(e);
    const c = e.tagName === "text" ? s.fill : s.color;
    const a = light(c), b = light(behind(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) say(name(e) + " has a contrast of " + ratio.toFixed(1));
    if (e.tagName !== "text" && parseFloat(s.fontSize) < 10) say(name(e) + " is set in " + s.fontSize);
  }

  // Characters beyond Latin-1 may lack a glyph in the builder's browser. Names may hold any.
  const odd = document.body.innerText.match(/[^\x20-\x7e\xa0-\xff\n\t]/);
  if (odd && !document.title.includes(odd[0])) say("the character " + JSON.stringify(odd[0]) + " may have no glyph");

  // Headings in order, one of them the first.
  let last = 0;
  for (const h of document.querySelectorAll("h1,h2,h3,h4,h5,h6")) {
    const level = Number(h.tagName[1]);
    if (level > last + 1) say(name(h) + " skips a level");
    if (level === 1 && last !== 0) say("a second first heading");
    if (!h.textContent.trim()) say("a heading is empty");
    last = level;
  }
  if (last === 0) say("no headings");

  // Every drawing has a text in its place, every id is there once.
  const ids = new Set();
  for (const e of document.querySelectorAll("[id]")) {
    if (ids.has(e.id)) say("the id " + e.id + " stands twice");
    ids.add(e.id);
  }
  for (const e of document.querySelectorAll("svg,img")) {
    const by = (e.getAttribute("aria-labelledby") || "").split(" ");
    if (e.getAttribute("role") !== "img" || by.length !== 2 || !by.every((id) => ids.has(id) && document.getElementById(id).textContent.trim())) say("a drawing has no text alternative");
  }
  for (const e of document.querySelectorAll("table")) if (!e.caption || !e.tHead) say("a table without caption or head");

  // One file: no script, nothing fetched, nothing that could be clicked.
  if (document.querySelector("script:not([data-audit]),link,iframe,object,embed,form,input,[onclick],[src],[href]")) say("the page is not plain and whole in itself");
  if (performance.getEntriesByType("resource").length) say("the page fetches something");
  if (!document.documentElement.lang || !document.title) say("no language or no title");
  return faults;
})()
