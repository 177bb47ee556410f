// What stands on the board and how it is marked.
() => [...document.querySelectorAll('.line:not([hidden]), .remark:not([hidden])')].map((e) => e.id + ' ' + e.className)
  .concat([...document.querySelectorAll('.figure:not([hidden]) g')].map((g) => g.dataset.of + ' ' + [...g.classList].sort().join(' ')))
  .join('\n')
