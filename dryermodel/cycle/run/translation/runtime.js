// What Python does and JavaScript has no operator for.
const $copysign = (x, sign) => {
  const size = Math.abs(x);
  return sign < 0 || (sign === 0 && 1 / sign < 0) ? -size : size;
};
const $max = (a, b) => (b > a ? b : a);
const $min = (a, b) => (b < a ? b : a);
const $pow = (x, y) => (x === 1 || (x === -1 && (y === Infinity || y === -Infinity)) ? 1 : Math.pow(x, y));
const $square = (x) => x * x;
const $remainder = (a, b) => {
  const rest = a % b;
  if (rest === 0) return $copysign(0, b);
  return rest < 0 !== b < 0 ? rest + b : rest;
};
const $quotient = (a, b) => {
  let rest = a % b;
  let whole = (a - rest) / b;
  if (rest !== 0 && rest < 0 !== b < 0) whole -= 1;
  if (whole === 0) return $copysign(0, a / b);
  const floor = Math.floor(whole);
  return whole - floor > 0.5 ? floor + 1 : floor;
};
const $view = (a, from, to) => (Array.isArray(a) ? a.slice(from, to) : a.subarray(from, to));
const $rows = (n, m, Kind) => Array.from({ length: n }, () => new Kind(m));
