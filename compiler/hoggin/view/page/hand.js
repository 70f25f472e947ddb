// Fingers on the drawing as one hand.

/** The middle of some points, and how far from it they are on average. */
export function hand(points) {
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const x = mean(points.map((point) => point.x));
  const y = mean(points.map((point) => point.y));
  return { x, y, spread: mean(points.map((point) => Math.hypot(point.x - x, point.y - y))) };
}
