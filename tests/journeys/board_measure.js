// Everything that is to be read: inside the frame, no text over another or cut off, no type under a fortieth of it.
() => {
const measured = () => {
  const frame = document.getElementById('frame').getBoundingClientRect(), unit = frame.height / 40, faults = [];
  const seen = (e) => e.checkVisibility({ visibilityProperty: true });
  const texts = [];
  for (const e of document.querySelectorAll('h1, #chapter, #menu-button, .line, .remark, .caption')) {
    if (!seen(e)) continue;
    const range = document.createRange();
    range.selectNodeContents(e);
    const box = range.getBoundingClientRect();
    let right = box.right;
    for (const m of e.querySelectorAll('math')) right = Math.max(right, m.getBoundingClientRect().right);
    texts.push([e.id || e.className, box.left, box.top, right, box.bottom]);
    if (parseFloat(getComputedStyle(e).fontSize) < unit * 0.999) faults.push('small ' + (e.id || e.className));
  }
  for (const e of document.querySelectorAll('.figure svg text')) {
    if (!seen(e)) continue;
    const box = e.getBoundingClientRect();
    if (box.left < frame.left || box.right > frame.right || box.bottom > frame.bottom) faults.push('figure text');
    if (e.getScreenCTM().a * parseFloat(getComputedStyle(e).fontSize) < unit * 0.999) faults.push('small figure text ' + e.textContent);
    const edge = document.getElementById('working').getBoundingClientRect().left;
    if (box.right > edge + 1) faults.push('figure over working: ' + e.textContent);
  }
  for (const [name, left, top, right, bottom] of texts) {
    if (left < frame.left || top < frame.top || right > frame.right + 1 || bottom > frame.bottom + 1) faults.push('outside ' + name);
  }
  for (let i = 0; i < texts.length; i++) for (let j = i + 1; j < texts.length; j++) {
    const a = texts[i], b = texts[j];
    if (a[1] < b[3] - 1 && b[1] < a[3] - 1 && a[2] < b[4] - 1 && b[2] < a[4] - 1) faults.push(a[0] + ' over ' + b[0]);
  }
  for (const id of ['remarks', 'working', 'top']) {
    const e = document.getElementById(id);
    if (e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1) faults.push('cut off ' + id);
  }
  const title = document.querySelector('h1');
  if (title.scrollWidth > title.clientWidth + 1) faults.push('title cut off');
  const shown = document.querySelectorAll('.line:not([hidden])').length;
  if (shown !== stages[here].lines[narrow.matches ? '4:3' : '16:9'].length) faults.push('a line did not fit');
  return faults;
};
return stages.flatMap((_, n) => { show(n); return measured().map((fault) => (n + 1) + ': ' + fault); });
}
