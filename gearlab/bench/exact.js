// Rational numbers, and how they are written: as the library does.

/** A rational number in lowest terms; `d` is above 0. @typedef {{n: bigint, d: bigint}} Exact */

const gcd = (a, b) => (b ? gcd(b, a % b) : a);
const size = (n) => (n < 0n ? -n : n);

/** n / d, for d above 0. @returns {Exact} */
function exact(n, d = 1) {
  const [a, b] = [BigInt(n), BigInt(d)];
  const common = gcd(size(a), b) || 1n;
  return { n: a / common, d: b / common };
}

const times = (x, y) => exact(x.n * y.n, x.d * y.d);
const plus = (x, y) => exact(x.n * y.d + y.n * x.d, x.d * y.d);
const over = (x, y) => exact(y.n < 0n ? -x.n * y.d : x.n * y.d, x.d * size(y.n));
const below = (x, y) => x.n * y.d < y.n * x.d;
const float = (x) => Number(x.n) / Number(x.d);
const floor = (x) => x.n / x.d - (x.n < 0n && x.n % x.d ? 1n : 0n);
/** What a box for numbers holds, to six decimals. */
const typed = (value) => exact(Math.round(value * 1e6), 1_000_000);
/** The size of x · scale as a whole number, halves up. */
const whole = (x, scale) => (2n * size(x.n) * scale + x.d) / (2n * x.d);
const minus = (x) => (x.n < 0n ? "−" : "");
const fraction = (x) => `${minus(x)}${size(x.n)}/${x.d}`;

/** A number to three decimals. */
function number(x) {
  if (x.d === 1n) return minus(x) + size(x.n);
  const power = String(size(x.n)).length - String(x.d).length;
  const digits = 10n * size(x.n) >= x.d ? 3 : 4 - power;
  const figures = String(whole(x, 10n ** BigInt(digits))).padStart(digits + 1, "0");
  const text = `${figures.slice(0, -digits)}.${figures.slice(-digits)}`;
  return minus(x) + text.replace(/\.?0+$/, "");
}

/** A count as the eye reads it at a paint mark, in the words of `T`. */
function turned(x, T) {
  const degrees = whole(x, 360n);
  const [turns, angle] = [degrees / 360n, degrees % 360n];
  const parts = turns ? [turns === 1n ? T.one_turn : `${turns} ${T.turns}`] : [];
  if (angle || !turns) parts.push(`${angle}°`);
  return parts.join(" + ") + (x.n < 0n && degrees ? ` ${T.backward}` : "");
}
