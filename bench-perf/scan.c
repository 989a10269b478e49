/* The loops of engine/drive/linear-scan.ts and engine/drive/full-scan.ts once more, line by line, to be measured and compared with.
 *
 *   cc -O3 -ffp-contract=off -o scan scan.c -lm
 *   ./scan input output repeats      prints processor seconds of the linear and of the full model, the least of `repeats` runs each
 *
 * Input, all float64: tasks, samples, candidates; start[tasks + 1]; the samples in rows of six; the fifteen candidate columns,
 * in the order of scan-peers.ts. Output, all float64: six columns of the linear model, eight of the full one. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RATIO, DRIVING, DRIVEN, INERTIA, VISCOUS, COULOMB, CONSTANT, SATURATION, RESISTANCE, FLUX, INDUCTANCE, PAIRS, SHARE, VOLTAGE, BUS, FIELDS };
enum { ROW = 6 };

static int tasks, count;
static int *start;
static const double *rows;
static const double *c[FIELDS];
static double *out[14];

static void linear(void) {
  const double *restrict x = rows;
  for (int p = 0; p < count; p += 2) {
    const int q = p + 1 < count ? p + 1 : p;
    const double pScale = c[DRIVING][p], qScale = c[DRIVING][q];
    const double pDriven = c[DRIVEN][p] / pScale, qDriven = c[DRIVEN][q] / qScale;
    const double pInertia = c[INERTIA][p] / pScale, qInertia = c[INERTIA][q] / qScale;
    const double pViscous = c[VISCOUS][p] / pScale, qViscous = c[VISCOUS][q] / qScale;
    const double pCoulomb = c[COULOMB][p] / pScale, qCoulomb = c[COULOMB][q] / qScale;
    const double pOhm = c[RESISTANCE][p] / c[CONSTANT][p] * pScale, qOhm = c[RESISTANCE][q] / c[CONSTANT][q] * qScale;
    const double pBack = c[PAIRS][p] * c[FLUX][p] * c[RATIO][p] / pOhm, qBack = c[PAIRS][q] * c[FLUX][q] * c[RATIO][q] / qOhm;
    const double pWatt = 1.5 / c[CONSTANT][p] * pScale * pOhm, qWatt = 1.5 / c[CONSTANT][q] * qScale * qOhm;
    for (int task = 0; task < tasks; task++) {
      const int end = start[task + 1] * ROW;
      double pPeak = 0, pVolt = 0, pSquare = 0, pPower = 0, pFlow = 0;
      double qPeak = 0, qVolt = 0, qSquare = 0, qPower = 0, qFlow = 0;
      for (int k = start[task] * ROW; k < end; k += ROW) {
        const double x0 = x[k], x1 = x[k + 1], x2 = x[k + 2], x3 = x[k + 3], x4 = x[k + 4], w = x[k + 5];

        const double pT = x0 + pDriven * x1 + pInertia * x2 + pViscous * x3 + pCoulomb * x4;
        const double pV = pT + pBack * x3, pA = fabs(pT), pU = fabs(pV), pW = w * pT, pP = pW * pV;
        if (pA > pPeak) pPeak = pA;
        if (pU > pVolt) pVolt = pU;
        pSquare += pW * pT;
        pPower += pP;
        pFlow += fabs(pP);

        const double qT = x0 + qDriven * x1 + qInertia * x2 + qViscous * x3 + qCoulomb * x4;
        const double qV = qT + qBack * x3, qA = fabs(qT), qU = fabs(qV), qW = w * qT, qP = qW * qV;
        if (qA > qPeak) qPeak = qA;
        if (qU > qVolt) qVolt = qU;
        qSquare += qW * qT;
        qPower += qP;
        qFlow += fabs(qP);
      }
      const int a = p * tasks + task, b = q * tasks + task;
      out[0][a] = pSquare >= 0 ? pScale * pPeak : NAN;
      out[1][a] = pScale * sqrt(pSquare);
      out[2][a] = pSquare >= 0 ? pOhm * pVolt : NAN;
      out[3][a] = pWatt * pSquare;
      out[4][a] = pWatt * (pFlow + pPower) / 2;
      out[5][a] = pWatt * (pFlow - pPower) / 2;
      out[0][b] = qSquare >= 0 ? qScale * qPeak : NAN;
      out[1][b] = qScale * sqrt(qSquare);
      out[2][b] = qSquare >= 0 ? qOhm * qVolt : NAN;
      out[3][b] = qWatt * qSquare;
      out[4][b] = qWatt * (qFlow + qPower) / 2;
      out[5][b] = qWatt * (qFlow - qPower) / 2;
    }
  }
}

static void full(void) {
  for (int n = 0; n < count; n++) {
    const double a0 = c[DRIVING][n], a1 = c[DRIVEN][n], a2 = c[INERTIA][n], a3 = c[VISCOUS][n], a4 = c[COULOMB][n];
    const double ratio = c[RATIO][n], constant = c[CONSTANT][n], saturation = c[SATURATION][n];
    const double R = c[RESISTANCE][n], flux = c[FLUX][n], L = c[INDUCTANCE][n], pairs = c[PAIRS][n];
    const double share = c[SHARE][n], E = c[VOLTAGE][n], square = E * E, four = 4 * c[BUS][n];
    for (int task = 0; task < tasks; task++) {
      const int end = start[task + 1] * ROW;
      double peak = 0, margin = INFINITY, leastBus = square, torqueSum = 0, currentSum = 0, power = 0, flow = 0;
      for (int k = start[task] * ROW; k < end; k += ROW) {
        const double v = rows[k + 3], w = rows[k + 5];
        const double torque = a0 * rows[k] + a1 * rows[k + 1] + a2 * rows[k + 2] + a3 * v + a4 * rows[k + 4];
        const double size = fabs(torque);
        if (size > peak) peak = size;
        torqueSum += w * torque * torque;
        const double part = torque * saturation, left = 1 - part * part;
        double i = left > 0 ? torque / constant / sqrt(left) : NAN;
        currentSum += w * i * i;
        double P = torque * ratio * v + 1.5 * R * i * i;
        power += w * P;
        flow += w * fabs(P);
        if (isnan(i)) {
          if (!isnan(torque)) margin = 0;
          i = 0;
          P = 0;
        }
        const double room = square - four * P;
        if (room < leastBus) leastBus = room;
        const double bus = room >= 0 ? (E + sqrt(room)) / 2 : 0;
        const double volt = share * bus, limit = volt * volt, drop = R * R * i * i - limit;
        if (drop > 0) margin = 0;
        else {
          const double q = v < 0 ? -i : i, need = fabs(ratio * v), electric = margin * need * pairs;
          const double across = electric * L * i, along = R * q + electric * flux;
          if (!(across * across + along * along <= limit)) {
            const double whole = L * L * i * i + flux * flux, b = flux * R * q;
            const double most = (-b + sqrt(b * b - whole * drop)) / whole / pairs / need;
            if (most < margin) margin = most;
          }
        }
      }
      const int at = n * tasks + task;
      const int known = torqueSum >= 0;
      const double part = peak * saturation, left = 1 - part * part;
      out[6][at] = known ? peak : NAN;
      out[7][at] = sqrt(torqueSum);
      out[8][at] = known && left > 0 ? peak / constant / sqrt(left) : NAN;
      out[9][at] = margin;
      out[10][at] = currentSum >= 0 && leastBus >= 0 ? (E + sqrt(leastBus)) / 2 : NAN;
      out[11][at] = 1.5 * R * currentSum;
      out[12][at] = (flow + power) / 2;
      out[13][at] = (flow - power) / 2;
    }
  }
}

static double least(void (*work)(void), int repeats) {
  double best = INFINITY;
  for (int k = 0; k < repeats; k++) {
    struct timespec a, b;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
    work();
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
    const double seconds = (double)(b.tv_sec - a.tv_sec) + 1e-9 * (double)(b.tv_nsec - a.tv_nsec);
    if (seconds < best) best = seconds;
  }
  return best;
}

static const double *column(FILE *file, size_t size) {
  double *values = malloc(size * sizeof *values);
  if (values == NULL || fread(values, sizeof *values, size, file) != size) exit(2);
  return values;
}

int main(int argc, char **argv) {
  if (argc != 4) return 2;
  FILE *in = fopen(argv[1], "rb");
  if (in == NULL) return 2;
  const double *head = column(in, 3);
  tasks = (int)head[0];
  const size_t samples = (size_t)head[1];
  count = (int)head[2];
  const double *from = column(in, (size_t)tasks + 1);
  start = malloc(((size_t)tasks + 1) * sizeof *start);
  for (int k = 0; k <= tasks; k++) start[k] = (int)from[k];
  rows = column(in, samples * ROW);
  for (int k = 0; k < FIELDS; k++) c[k] = column(in, (size_t)count);
  fclose(in);
  const size_t size = (size_t)tasks * (size_t)count;
  for (int k = 0; k < 14; k++) out[k] = malloc(size * sizeof(double));
  const int repeats = atoi(argv[3]);
  const double seconds[] = {least(linear, repeats), least(full, repeats)};
  FILE *file = fopen(argv[2], "wb");
  if (file == NULL) return 2;
  for (int k = 0; k < 14; k++)
    if (fwrite(out[k], sizeof(double), size, file) != size) return 2;
  fclose(file);
  printf("%.9f %.9f\n", seconds[0], seconds[1]);
  return 0;
}
