// The plan: the car from above, with an eye that shows which way a view looks, and LH and RH by the driver's seat.

export function plan(ctx: CanvasRenderingContext2D, left: number, middle: number, end: 'rear' | 'front', letter: number) {
  const w = 13; // dots at normal letters, the car's width
  const h = 25;
  const top = -h / 2;
  ctx.save();
  ctx.translate(left, middle);
  ctx.scale(letter, letter);
  ctx.lineWidth = 1.2;
  ctx.strokeStyle = '#98a1a8';
  ctx.beginPath();
  ctx.roundRect(0, top, w, h, [5, 5, 2.5, 2.5]); // its nose is up
  ctx.stroke();
  ctx.beginPath(); // windscreen
  ctx.moveTo(2, top + 9);
  ctx.lineTo(w - 2, top + 9);
  ctx.stroke();
  // The lit end.
  ctx.strokeStyle = '#e6e9ea';
  ctx.lineWidth = 2.4;
  ctx.beginPath();
  const edge = end === 'rear' ? top + h : top;
  ctx.moveTo(1.5, edge);
  ctx.lineTo(w - 1.5, edge);
  ctx.stroke();
  // The eye: an arrow that looks at it.
  ctx.fillStyle = '#e6e9ea';
  ctx.beginPath();
  const x = w + 10;
  const up = end === 'rear' ? -1 : 1; // from behind one looks forward
  const from = -up * 9;
  ctx.moveTo(x, from + up * 18);
  ctx.lineTo(x - 4, from + up * 10);
  ctx.lineTo(x + 4, from + up * 10);
  ctx.closePath();
  ctx.fill();
  ctx.fillRect(x - 0.8, Math.min(from, from + up * 11), 1.6, 11);
  ctx.restore();
}
