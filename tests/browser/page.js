// Runs in a real browser, on a page that holds the guide in a frame: loads it at two widths, moves the slider, turns the
// switch, measures overflow, and asks for an audit. What it finds is written as JSON into the page.
'use strict';
const guide = document.getElementById('guide').textContent;
const axe = document.getElementById('axe').textContent;

function load(width) {
  return new Promise(function (done) {
    const frame = document.createElement('iframe');
    frame.width = width;
    frame.height = 800;
    frame.onload = function () { done(frame); };
    frame.srcdoc = decodeURIComponent(guide);
    document.body.append(frame);
  });
}

/** Every text that is seen. */
function seen(page) {
  return page.body.innerText;
}

async function run() {
  const found = {};
  const wide = await load(1000);
  const page = wide.contentDocument;
  const ways = [...page.querySelectorAll('.way')];
  found.sliders = ways.length;
  found.sliders_shown = ways.every((way) => way.getClientRects().length > 0);
  found.moved = ways.map(function (way) {
    const shown = () => [...way.closest('.motion').querySelectorAll('.frame')]
      .map((frame, n) => (frame.getClientRects().length > 0 ? n : -1)).filter((n) => n >= 0);
    const before = shown();
    way.value = way.max;
    way.dispatchEvent(new Event('input'));
    return { last: Number(way.max), before, after: shown() };
  });
  const measures = [...page.querySelectorAll('.mm, .in')];
  const shown = (kind) => measures.filter((m) => m.className === kind && m.getClientRects().length > 0).length;
  const all = (kind) => measures.filter((m) => m.className === kind).length;
  const turn = function (id) {
    page.getElementById(id).click();
    return { mm: shown('mm'), in: shown('in'), text: seen(page) };
  };
  found.all = { mm: all('mm'), in: all('in') };
  found.in_mm = turn('measures-mm');
  found.in_inches = turn('measures-in');
  found.remembered = (await load(1000)).contentDocument.getElementById('measures-in').checked;
  found.overflow = {};
  for (const width of [360, 1000]) {
    const root = (await load(width)).contentDocument.documentElement;
    found.overflow[width] = root.scrollWidth - root.clientWidth;
  }
  for (const width of [360, 1000]) {
    const frame = await load(width);
    frame.contentWindow.eval(decodeURIComponent(axe));
    const audit = await frame.contentWindow.axe.run(frame.contentDocument, { iframes: false });
    found['audit_' + width] = audit.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.html.slice(0, 120)).join(' | '));
    found['passes_' + width] = audit.passes.length;
  }
  return found;
}

run().catch((error) => ({ error: String(error) })).then(function (found) {
  const result = document.createElement('pre');
  result.id = 'result';
  result.textContent = encodeURIComponent(JSON.stringify(found));
  document.body.replaceChildren(result);
});
