// What electricity costs beside a price: the arithmetic of money/running.py.

// Each machine's watts at the wall, the mean over the tests that somebody weighs; only tests read on every machine count.
export function meanWatts(byTest, weights) {
  const machines = [...new Set(Object.values(byTest).flatMap(Object.keys))];
  const usable = Object.entries(byTest).filter(([, row]) => machines.every((machine) => machine in row));
  const total = usable.reduce((sum, [test]) => sum + (weights[test] || 0), 0);
  if (!(total > 0)) return {};
  const mean = (machine) => usable.reduce((sum, [test, row]) => sum + (weights[test] || 0) * row[machine], 0) / total;
  return Object.fromEntries(machines.map((machine) => [machine, mean(machine)]));
}

// Whole smallest units of a currency, a half rounded up.
export function energyMinor(watts, { hours, years, tariff }) {
  return Math.floor((watts / 1000) * hours * years * tariff + 0.5);
}
