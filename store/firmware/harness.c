/* CAUTION. A harness for a desk: it shows that this code equals the model it came from, and nothing about a leg. Tethered bench,
 * emergency stop, every fault provoked; only then overhead harness, ethics board, licensed prosthetist, and the standards and local codes
 * that apply. */

/* Runs the controller over vectors.csv and compares: harness [vectors.csv]. Exit 0 where all is within the tolerance. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "controller.h"

#define READ 12
#define COLUMNS (READ + 10)

int main(int argc, char **argv) {
  static char line[1024];
  static ctl_state x;
  FILE *file = fopen(argc > 1 ? argv[1] : "vectors.csv", "r");
  double worst_torque = 0.0;
  double worst_phase = 0.0;
  double worst_speed = 0.0;
  double worst_slope = 0.0;
  long beyond = 0;
  long modes = 0;
  long ticks = 0;
  long first = -1;
  if (file == NULL) {
    (void)fprintf(stderr, "vectors.csv cannot be read\n");
    return 2;
  }
  if (ctl_checksum() != ctl_stated_checksum) {
    (void)fprintf(stderr, "the tables are not those that were exported: checksum %08lx\n", (unsigned long)ctl_checksum());
    return 3;
  }
  ctl_reset(&x);
  while (fgets(line, (int)sizeof line, file) != NULL) {
    double v[COLUMNS];
    ctl_input in;
    ctl_output out;
    char *at = line;
    int k;
    int joint;
    int off = 0;
    if (line[0] == '#' || line[0] == 't') continue;
    for (k = 0; k < COLUMNS; k++) {
      char *end;
      v[k] = strtod(at, &end);
      if (end == at && *at == ',') v[k] = (double)NAN; /* an empty cell: no number */
      else if (end == at) {
        (void)fprintf(stderr, "line after tick %ld has fewer than %d numbers\n", ticks, COLUMNS);
        return 2;
      }
      at = *end == ',' ? end + 1 : end;
    }
    in.thigh_rad = (float)v[0];
    in.thigh_rate_rad_per_s = (float)v[1];
    in.knee_rad = (float)v[2];
    in.ankle_rad = (float)v[3];
    in.load_N = (float)v[4];
    in.knee_winding_K = (float)v[5];
    in.ankle_winding_K = (float)v[6];
    in.bus_V = (float)v[7];
    in.elapsed_s = (float)v[8];
    in.release = (float)v[9];
    in.knee_second_rad = (float)v[10];
    in.ankle_second_rad = (float)v[11];
    ctl_tick(&x, &in, &out);
    for (joint = 0; joint < 2; joint++) {
      const double d = fabs((double)out.torque_Nm[joint] - v[READ + joint]);
      if (!(d <= worst_torque)) worst_torque = d;
      if (!(d <= 1e-3 + 1e-5 * fabs(v[READ + joint]))) off = 1;
    }
    if (!(fabs((double)out.phase - v[READ + 2]) <= worst_phase)) worst_phase = fabs((double)out.phase - v[READ + 2]);
    if (!(fabs((double)out.phase - v[READ + 2]) <= 1e-6)) off = 1;
    if (!(fabs((double)out.speed_m_per_s - v[READ + 6]) <= worst_speed)) worst_speed = fabs((double)out.speed_m_per_s - v[READ + 6]);
    if (!(fabs((double)out.speed_m_per_s - v[READ + 6]) <= 1e-5)) off = 1;
    if (!(fabs((double)out.slope_rad - v[READ + 8]) <= worst_slope)) worst_slope = fabs((double)out.slope_rad - v[READ + 8]);
    if (!(fabs((double)out.slope_rad - v[READ + 8]) <= 1e-6)) off = 1;
    if (out.state != (int32_t)v[READ + 3] || out.fault != (int32_t)v[READ + 4] || out.warning != (int32_t)v[READ + 5] ||
        out.speed_status != (int32_t)v[READ + 7] || out.slope_status != (int32_t)v[READ + 9]) {
      modes++;
      off = 1;
    }
    if (off != 0) {
      beyond++;
      if (first < 0) first = ticks;
    }
    ticks++;
  }
  (void)fclose(file);
  (void)printf("controller %.12s build %.12s\n", ctl_controller, ctl_build);
  (void)printf("ticks %ld torque %.3e Nm phase %.3e modes %ld beyond %ld first %ld speed %.3e slope %.3e\n", ticks, worst_torque,
               worst_phase, modes, beyond, first, worst_speed, worst_slope);
  return ticks > 0 && beyond == 0 ? 0 : 1;
}
