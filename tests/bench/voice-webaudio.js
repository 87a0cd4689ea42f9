export function buildGraph(ctx, sec) {
  const g = (v = 0) => {
    const n = ctx.createGain();
    n.gain.value = v;
    return n;
  };
  const o = (t, f) => {
    const n = ctx.createOscillator();
    n.type = t;
    n.frequency.value = f;
    n.start();
    return n;
  };
  const tri = [o('triangle', 0.31), o('triangle', 0.17), o('triangle', 2.3), o('triangle', 5.1)],
    sq = o('square', 0.31);
  const env = (a, d) => {
    const s = ctx.createConstantSource();
    s.offset.value = 0;
    for (let t = 0; t < sec; t += 0.25) {
      s.offset.setTargetAtTime(1, t, a);
      s.offset.setTargetAtTime(0, t + 5 * a, d);
    }
    s.start();
    return s;
  };
  const e = [env(0.002, 0.05), env(0.002, 0.03), env(0.0005, 0.1)];
  const vca = (a, c) => {
    const n = g(0);
    a.connect(n);
    c.connect(n.gain);
    return n;
  };
  const mix = (...p) => {
    const m = g(1);
    p.forEach(([n, v]) => {
      const x = g(v);
      n.connect(x);
      x.connect(m);
    });
    return m;
  };
  const r1 = g(0.03);
  tri[0].connect(r1);
  r1.connect(tri[1].frequency);
  const r2 = g(0.2);
  tri[1].connect(r2);
  r2.connect(tri[2].frequency);
  const r3 = g(0.5);
  tri[2].connect(r3);
  r3.connect(tri[3].frequency);
  const m1 = mix([vca(tri[0], tri[1]), 0.5], [vca(sq, tri[2]), 0.5], [e[0], 0.3]);
  const m2 = mix([e[0], 1], [vca(e[1], tri[1]), 1]);
  const o1 = o('sawtooth', 261.6);
  const v1 = vca(o1, tri[3]);
  const fm = g(100);
  v1.connect(fm);
  const o2 = o('sawtooth', 261.6);
  fm.connect(o2.frequency);
  const o3 = o('sawtooth', 261.6);
  const dt = g(1200);
  m1.connect(dt);
  dt.connect(o3.detune);
  const am = mix([o1, 0.33], [o2, 0.33], [o3, 0.33]);
  const f1 = ctx.createBiquadFilter(),
    f2 = ctx.createBiquadFilter();
  f1.frequency.value = f2.frequency.value = 400;
  f1.Q.value = 6;
  f2.Q.value = 0;
  const fd = g(2400);
  m1.connect(fd);
  fd.connect(f1.detune);
  fd.connect(f2.detune);
  am.connect(f1);
  f1.connect(f2);
  const out = vca(vca(f2, m2), e[2]);
  out.connect(ctx.destination);
}
