/* The step of engine/walk/walk-step.ts once more, line by line, to be measured and compared with.
 *
 *   cc -O3 -ffp-contract=off -o walk walk.c -lm
 *   ./walk input output rounds     runs the steps from the same state `rounds` times over; prints processor seconds of the fastest round
 *
 * Input, all float64: sizes, leg, sole, end stops of both joints, guide, state with the numbers of the drives, course, in the order of walk-peer.ts.
 * Output, all float64: q, v, works, worst residual, moved. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { X, Z, H, K, A };
enum { LEG_G, LEG_M, L1, L2, TX, TZ, SX, SZ, FX, FZ, I1, I2, I3, JK, JA, LEG };
enum { LOW, HIGH, STOPK, STOPD, STOPS };
/* DRIVE of walk-drive.ts, to its last place that a step reads */
enum { CURRENT, ASKED, ANCHOR, SLIPS, MTORQUE, OUTPUT, MPOWER, FPOWER, SPOWER, WINDING, HOUSING, RESIST, CONSTANT, SQUARE, MAGNIT, WORK, FRICT, LIMIT, CUT, SHORT, STEP, FOLLOW, ANGLE, RATE, STORED,
  RATIO, ROTOR, PERROTOR, RVISC, OVISC, OCOUL, COUL, BREAK, GEARK, GEARD, DLOSS, BLOSS, STICK, SDAMP, PERSATUR, SPRING, REST, FROM, TO, HALFPLAY, RCOUL, RBREAK, FLANK, LASTFLANK, CHANGES, MEETING, STATE };
enum { P1, S1, C1, P2, S2, C2, P3, S3, C3, ANGLES };
enum { CX, CXR, CXA, CT, CTR, CTA, CH, CHR, CO, CM, CP, WIDTH };
enum { MOST = 16 };

struct run {
  double q[5], v[5], a[5], angles[ANGLES], drive[2][STATE], anchors[MOST], power[9], works[9], sum, worst, moved, start;
  long n;
};

static const double *leg, *px, *pz, *pk, *stops[2], *table;
static double step, belt, damping, friction, stickK, stickD, guideK, guideD;
static int points, courseSteps, first;

static void drive_step(double *s, double angle, double velocity) {
  const double rotor = s[ANGLE], rate = s[RATE];
  const double current = s[CURRENT] + s[FOLLOW] * (s[ASKED] - s[CURRENT]);
  s[CURRENT] = current;
  const double share = current * s[PERSATUR];
  const double torque = s[CONSTANT] * current / sqrt(1 + share * share);
  s[SQUARE] += current * current * step;
  s[MAGNIT] += fabs(current) * step;
  const double joint = s[RATIO] * torque;
  const double wound = rotor - angle, winds = rate - velocity, play = s[HALFPLAY];
  const double pressed = wound > -play ? (wound < play ? 0 : wound - play) : wound + play, springs = s[GEARK] * pressed;
  double damped = s[GEARD] * winds, gears = springs + damped, dry = s[SLIPS] == 1 ? s[COUL] : s[BREAK], output = s[OCOUL];
  if (gears * pressed <= 0 && play > 0) {
    gears = 0;
    damped = -springs;
    dry = s[SLIPS] == 1 ? s[RCOUL] : s[RBREAK];
    output = 0;
  }
  if (gears * s[FLANK] <= 0 && play > 0) {
    const double flank = (gears > 0) - (gears < 0);
    if (flank * s[LASTFLANK] < 0) s[CHANGES]++;
    if (flank != 0) {
      s[MEETING] = fmax(s[MEETING], fabs(winds));
      s[LASTFLANK] = flank;
    }
    s[FLANK] = flank;
  }
  const double mesh = gears + (rate > 0 ? output : rate < 0 ? -output : 0);
  const double cap = dry + fabs(mesh) * (mesh * rate > 0 ? s[DLOSS] : s[BLOSS]);
  double anchor = isnan(s[ANCHOR]) ? rotor : s[ANCHOR];
  double f = -s[STICK] * (rotor - anchor) - s[SDAMP] * rate;
  if (f > cap || f < -cap) {
    f = f > cap ? cap : -cap;
    anchor = rotor + f / s[STICK];
    s[SLIPS] = 1;
  } else s[SLIPS] = 0;
  s[ANCHOR] = anchor;
  f -= s[RVISC] * rate;
  const double viscous = -s[OVISC] * velocity;
  const double spring = s[SPRING] > 0 && angle >= s[FROM] && angle <= s[TO] ? -s[SPRING] * (angle - s[REST]) : 0;
  const double takes = f * rate + viscous * velocity - damped * winds;
  s[MTORQUE] = torque;
  s[OUTPUT] = gears + viscous + spring;
  s[MPOWER] = joint * rate;
  s[FPOWER] = takes;
  s[SPOWER] = spring * velocity;
  s[STORED] = 0.5 * (s[ROTOR] * rate * rate + s[GEARK] * pressed * pressed);
  s[WORK] += joint * rate * step;
  s[FRICT] -= takes * step;
  s[RATE] = rate + step * (joint - gears + f) * s[PERROTOR];
  s[ANGLE] = rotor + step * s[RATE];
}

static double stop(const double *d, double angle, double velocity) {
  if (angle > d[HIGH]) return -fmax(d[STOPK] * (angle - d[HIGH]) + d[STOPD] * velocity, 0);
  if (angle < d[LOW]) return fmax(d[STOPK] * (d[LOW] - angle) - d[STOPD] * velocity, 0);
  return 0;
}

static void turn(double *s, double *c, double d, double square) {
  const double sine = d * (1 - square * (1. / 6 - square * (1. / 120)));
  const double cosine = 1 - square * (1. / 2 - square * (1. / 24 - square * (1. / 720)));
  const double before = *s;
  *s = before * cosine + *c * sine;
  *c = *c * cosine - before * sine;
}

static void run(struct run *r, long steps) {
  const double inverse = 1 / leg[LEG_M];
  double *q = r->q, *v = r->v, *a = r->a;
  double p1 = r->angles[P1], s1 = r->angles[S1], c1 = r->angles[C1], p2 = r->angles[P2], s2 = r->angles[S2], c2 = r->angles[C2];
  double p3 = r->angles[P3], s3 = r->angles[S3], c3 = r->angles[C3];
  const double *const end = table + (long)courseSteps * WIDTH;
  const double *row = table + (long)((first + r->n) % courseSteps) * WIDTH;
  for (long i = 0; i < steps; i++) {
    const double w1 = v[H], w2 = w1 - v[K], w3 = w2 + v[A];
    const double r1x = leg[L1] * s1, r1z = -leg[L1] * c1, r2x = leg[L2] * s2, r2z = -leg[L2] * c2;
    const double g1x = leg[TX] * c1 - leg[TZ] * s1, g1z = leg[TX] * s1 + leg[TZ] * c1;
    const double g2x = leg[SX] * c2 - leg[SZ] * s2, g2z = leg[SX] * s2 + leg[SZ] * c2;
    const double g3x = leg[FX] * c3 - leg[FZ] * s3, g3z = leg[FX] * s3 + leg[FZ] * c3;
    const double M12 = r1x * g2x + r1z * g2z, M13 = r1x * g3x + r1z * g3z, M23 = r2x * g3x + r2z * g3z;
    const double n12 = r1x * g2z - r1z * g2x, n13 = r1x * g3z - r1z * g3x, n23 = r2x * g3z - r2z * g3x;
    const double q1 = w1 * w1, q2 = w2 * w2, q3 = w3 * w3, g = leg[LEG_G], m = leg[LEG_M];
    const double H1 = g * g1x - n12 * q2 - n13 * q3, H2 = g * g2x + n12 * q1 - n23 * q3, H3 = g * g3x + n13 * q1 + n23 * q2;
    const double hx = -q1 * g1x - q2 * g2x - q3 * g3x, hz = m * g - q1 * g1z - q2 * g2z - q3 * g3z;
    const double xh = -g1z - g2z - g3z, xk = g2z + g3z, zh = g1x + g2x + g3x, zk = -g2x - g3x, za = g3x, xa = -g3z;
    const double hk = -(M12 + M13 + leg[I2] + leg[I3] + 2 * M23), ha = M13 + M23 + leg[I3], ka = -(M23 + leg[I3]);
    const double hh = leg[I1] + leg[I2] + leg[I3] + 2 * (M12 + M13 + M23), kk = leg[I2] + leg[I3] + 2 * M23 + leg[JK], aa = leg[I3] + leg[JA];
    const double kinetic = 0.5 * m * (v[X] * v[X] + v[Z] * v[Z]) - v[X] * (g1z * w1 + g2z * w2 + g3z * w3) + v[Z] * (g1x * w1 + g2x * w2 + g3x * w3) +
      0.5 * (leg[I1] * q1 + leg[I2] * q2 + leg[I3] * q3 + leg[JK] * v[K] * v[K] + leg[JA] * v[A] * v[A]) + M12 * w1 * w2 + M13 * w1 * w3 + M23 * w2 * w3;
    drive_step(r->drive[0], q[K], v[K]);
    drive_step(r->drive[1], q[A], v[A]);
    const double energy = kinetic + g * (m * q[Z] + g1z + g2z + g3z) + (r->drive[0][STORED] + r->drive[1][STORED]);
    const double kneeStop = stop(stops[0], q[K], v[K]), ankleStop = stop(stops[1], q[A], v[A]);
    const double led = guideK * (row[CH] - q[Z]) + guideD * (row[CHR] - v[Z]), other = row[CO];
    double fX = 0, fZ = led + other, fH = 0, fK = r->drive[0][OUTPUT] + kneeStop, fA = r->drive[1][OUTPUT] + ankleStop;

    const double ax = r1x + r2x, az = r1z + r2z, travel = belt * r->n * step;
    double ground = 0;
    for (int p = 0; p < points; p++) {
      const double r3x = px[p] * c3 - pz[p] * s3, r3z = px[p] * s3 + pz[p] * c3, height = q[Z] + az + r3z;
      if (height >= 0) { r->anchors[p] = NAN; continue; }
      const double rx = ax + r3x, rz = az + r3z, kx = r2x + r3x, kz = r2z + r3z;
      const double vx = v[X] - rz * w1 + kz * v[K] - r3z * v[A], vz = v[Z] + rx * w1 - kx * v[K] + r3x * v[A];
      const double place = q[X] + rx + travel;
      const double fz = fmax(pk[p] * -height * sqrt(-height) * (1 + damping * -vz), 0);
      double anchor = isnan(r->anchors[p]) ? place : r->anchors[p];
      double fx = -stickK * (place - anchor) - stickD * (vx + belt);
      const double cap = friction * fz;
      if (fx > cap || fx < -cap) {
        fx = fx > cap ? cap : -cap;
        anchor = place + fx / stickK;
      }
      r->anchors[p] = anchor;
      fX += fx;
      fZ += fz;
      fH += rx * fz - rz * fx;
      fK += kz * fx - kx * fz;
      fA += r3x * fz - r3z * fx;
      ground += fx * vx + fz * vz;
    }

    const double thigh = a[H];
    const double bz = fZ - hz - zh * thigh, bh = fH - (H1 + H2 + H3) - xh * a[X];
    double bk = fK - (-H2 - H3) - xk * a[X] - hk * thigh, ba = fA - H3 - xa * a[X] - ha * thigh;
    const double lk = zk * inverse, la = za * inverse, perKnee = 1 / (kk - lk * zk), e = ka - lk * za, l = e * perKnee;
    bk -= lk * bz;
    ba -= la * bz + l * bk;
    const double ankle = ba / (aa - la * za - l * e), knee = bk * perKnee - l * ankle, up = bz * inverse - lk * knee - la * ankle;
    const double torque = hh * thigh + zh * up + hk * knee + ha * ankle - bh;
    const double forward = m * a[X] + xh * thigh + xk * knee + xa * ankle + hx - fX;
    a[Z] = up;
    a[K] = knee;
    a[A] = ankle;

    const double power[9] = { r->drive[0][MPOWER] + r->drive[1][MPOWER], r->drive[0][FPOWER] + r->drive[1][FPOWER], r->drive[0][SPOWER] + r->drive[1][SPOWER],
      kneeStop * v[K] + ankleStop * v[A], torque * v[H], forward * v[X], led * v[Z], other * v[Z], ground };
    for (int k = 0; k < 9; k++) {
      const double work = 0.5 * step * (r->power[k] + power[k]);
      r->works[k] += work;
      r->sum += work;
      r->moved += fabs(work);
      r->power[k] = power[k];
    }
    const double residual = fabs(energy - r->start - r->sum);
    if (!(residual <= r->worst)) r->worst = residual;

    r->n++;
    row += WIDTH;
    if (row == end) row = table;
    v[Z] += step * a[Z]; q[Z] += step * v[Z];
    v[K] += step * a[K]; q[K] += step * v[K];
    v[A] += step * a[A]; q[A] += step * v[A];
    q[X] = row[CX]; v[X] = row[CXR]; a[X] = row[CXA];
    q[H] = row[CT]; v[H] = row[CTR]; a[H] = row[CTA];
    const double d1 = q[H] - p1, d2 = q[H] - q[K] - p2, d3 = q[H] - q[K] + q[A] - p3;
    p1 = q[H]; p2 = p1 - q[K]; p3 = p2 + q[A];
    if (d1 * d1 + d2 * d2 + d3 * d3 < 4e-4 && r->n % 64 > 0) {
      turn(&s1, &c1, d1, d1 * d1);
      turn(&s2, &c2, d2, d2 * d2);
      turn(&s3, &c3, d3, d3 * d3);
    } else { s1 = sin(p1); c1 = cos(p1); s2 = sin(p2); c2 = cos(p2); s3 = sin(p3); c3 = cos(p3); }
  }
}

int main(int argc, char **argv) {
  if (argc < 4) return 2;
  FILE *in = fopen(argv[1], "rb");
  if (!in) return 1;
  fseek(in, 0, SEEK_END);
  const long size = ftell(in);
  rewind(in);
  double *x = malloc(size);
  if (!x || fread(x, 1, size, in) != (size_t)size) return 1;
  fclose(in);
  const double *at = x;
  const long steps = (long)*at++;
  courseSteps = (int)*at++;
  first = (int)*at++;
  points = (int)*at++;
  step = *at++; belt = *at++; damping = *at++; friction = *at++; stickK = *at++; stickD = *at++; guideK = *at++; guideD = *at++;
  leg = at; at += LEG;
  px = at; at += points;
  pz = at; at += points;
  pk = at; at += points;
  stops[0] = at; at += STOPS;
  stops[1] = at; at += STOPS;
  struct run from = { 0 };
  memcpy(from.q, at, sizeof from.q); at += 5;
  memcpy(from.v, at, sizeof from.v); at += 5;
  memcpy(from.a, at, sizeof from.a); at += 5;
  memcpy(from.angles, at, sizeof from.angles); at += ANGLES;
  memcpy(from.drive[0], at, sizeof from.drive[0]); at += STATE;
  memcpy(from.drive[1], at, sizeof from.drive[1]); at += STATE;
  memcpy(from.anchors, at, points * sizeof(double)); at += points;
  memcpy(from.power, at, sizeof from.power); at += 9;
  memcpy(from.works, at, sizeof from.works); at += 9;
  from.start = *at++; from.sum = *at++; from.worst = *at++; from.moved = *at++;
  from.n = (long)*at++;
  table = at;
  double best = INFINITY;
  struct run r = from;
  for (int k = 0; k < atoi(argv[3]); k++) {
    const clock_t begun = clock();
    for (int again = 0; again < 100; again++) { r = from; run(&r, steps); }
    const double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC / 100;
    if (seconds < best) best = seconds;
  }
  FILE *out = fopen(argv[2], "wb");
  if (!out) return 1;
  fwrite(r.q, sizeof(double), 5, out);
  fwrite(r.v, sizeof(double), 5, out);
  fwrite(r.works, sizeof(double), 9, out);
  fwrite(&r.worst, sizeof(double), 1, out);
  fwrite(&r.moved, sizeof(double), 1, out);
  fclose(out);
  printf("%.9g\n", best);
  return 0;
}
