"""A page in a headless browser that notes what it asks for and says, and scripts that measure what it shows."""

PHONE, A4_CSS_PX = 390, 794
OVERFLOWS = """() => {
  const wide = document.documentElement.clientWidth, bad = [];
  if (document.documentElement.scrollWidth > wide) bad.push('page ' + document.documentElement.scrollWidth);
  for (const e of document.querySelectorAll('body *')) {
    if (e.closest('.scroll') && !e.matches('.scroll')) continue;
    const r = e.getBoundingClientRect();
    if (r.width && (r.right > wide + 0.5 || (r.left < -0.5 && r.right > 0)))
      bad.push(e.tagName + ': ' + e.textContent.slice(0, 40));
  }
  return bad;
}"""
OVERLAPS = """() => {
  const bad = [];
  for (const svg of document.querySelectorAll('svg')) {
    const texts = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
    const frame = svg.getBoundingClientRect();
    texts.forEach(([words, a], n) => {
      if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1)
        bad.push('outside: ' + words);
      for (const [other, b] of texts.slice(n + 1)) {
        const x = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const y = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        // boxes of letters hold room above and below them: a quarter of a line is no overlap
        if (x > 1 && y > 0.25 * Math.min(a.height, b.height)) bad.push(words + ' / ' + other);
      }
    });
  }
  return bad;
}"""


def listening(browser, path):
    """The file in a page that notes every request, message and dialogue in `heard`."""
    page = browser.new_page(viewport={"width": A4_CSS_PX, "height": 1000})
    page.heard = []
    page.on("console", lambda message: page.heard.append(message.text))
    page.on("pageerror", lambda error: page.heard.append(str(error)))
    page.on("dialog", lambda dialog: (page.heard.append(dialog.message), dialog.dismiss()))
    page.on("request", lambda asked: asked.url == path.as_uri() or page.heard.append(asked.url))
    page.goto(path.as_uri())
    return page
