(() => {
  const years = [...document.querySelectorAll('.year')];
  const slide = document.querySelector('.slide');
  const input = slide.querySelector('input');
  const ticks = [...slide.querySelectorAll('button')];
  const show = (n) => {
    years.forEach((year, i) => { year.hidden = i !== n; });
    ticks.forEach((tick, i) => tick.setAttribute('aria-pressed', String(i === n)));
    input.value = String(n);
    input.setAttribute('aria-valuetext', ticks[n].textContent);
  };
  slide.hidden = years.length < 2;
  input.addEventListener('input', () => show(Number(input.value)));
  ticks.forEach((tick, i) => tick.addEventListener('click', () => show(i)));
  show(Number(input.value));
  // On paper nothing can be unfolded.
  addEventListener('beforeprint', () => document.querySelectorAll('details').forEach((one) => { one.open = true; }));
})();
