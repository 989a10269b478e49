/* CAUTION. This code decides whether a knee bears weight. It equals a model on paper and has proved nothing on a leg. Tethered bench,
 * emergency stop, every fault provoked in every part of the stride; only then overhead harness, ethics board, licensed prosthetist, and
 * the standards and local codes that apply. It is no safety function: the electronics' own limits, watchdog and stop stand beside it. */

/* Order of one tick, always:
 *   read -> plausibility -> faults -> events -> phase -> trajectory -> torque -> limits -> output
 * Built without -ffast-math: NaN must stay NaN. */

#include "controller.h"

#include <math.h>
#include <string.h>

#include "tables.h"

/* Beyond this a reading is no number, in any unit. */
#define READABLE 1.0e6f
/* Ticks that stand for long enough for everything. */
#define LONG_AGO 1073741824
/* Least way of the thigh that a phase is read from: 15 degrees. */
#define LEAST_THIGH_RANGE_RAD 0.26179939f

enum { THIGH, THIGH_RATE, KNEE, ANKLE, LOAD, KNEE_WINDING, ANKLE_WINDING, BUS, ELAPSED, RELEASE, KNEE_SECOND, ANKLE_SECOND };
enum { DOES_SPRING, DOES_SCHEDULE, DOES_THIGH, DOES_SHORTED };
enum { IS_MISSING, IS_STUCK, IS_JUMP, IS_OUTSIDE, IS_DISAGREEING };
enum { TO_OWN_SAFE = -1, TO_WARNING = -2 };
enum {
  L_TORQUE,
  L_FROM,
  L_TO,
  L_MARGIN,
  L_FADE_SPEED,
  L_SPEED,
  L_WARM,
  L_HOT,
  L_RETURNED,
  L_FADE_BUS,
  L_BUS,
  L_SLEW_STEP,
  L_COUNT
};

static float share(float x) { return x < 0.0f ? 0.0f : (x > 1.0f ? 1.0f : x); }

/* Value and slope over the phase of d*s + a0 + sum a_k cos 2 pi k s + b_k sin 2 pi k s. */
static void trajectory_at(const float *q, float s, float *value, float *slope) {
  const float angle = 6.28318531f * s;
  const float c1 = cosf(angle);
  const float s1 = sinf(angle);
  float c = 1.0f;
  float w = 0.0f;
  int32_t i;
  *value = q[1] + q[0] * s;
  *slope = q[0];
  for (i = 2; i < CTL_TRAJECTORY; i += 2) {
    const float turned = c * c1 - w * s1;
    const float k = 3.14159265f * (float)i;
    w = w * c1 + c * s1;
    c = turned;
    *value += q[i] * c + q[i + 1] * w;
    *slope += k * (q[i + 1] * c - q[i] * w);
  }
}

/* What is left of an offset and its slope at the share u of the blend, and its slope over u. */
static float blend(float e, float d, float u) {
  const float u2 = u * u;
  const float u3 = u2 * u;
  if (u >= 1.0f) return 0.0f;
  return e * (1.0f - u3 * (10.0f - 15.0f * u + 6.0f * u2)) + d * (u - u3 * (6.0f - 8.0f * u + 3.0f * u2));
}
static float blend_slope(float e, float d, float u) {
  const float u2 = u * u;
  if (u >= 1.0f) return 0.0f;
  return e * -u2 * (30.0f - 60.0f * u + 30.0f * u2) + d * (1.0f - u2 * (18.0f - 32.0f * u + 15.0f * u2));
}

/* Keeps x within 0 and 1 with a continuous slope. */
static float soft(float x, float e) {
  if (x <= -e) return 0.0f;
  if (x >= 1.0f + e) return 1.0f;
  if (x < e) return ((x + e) * (x + e)) / (4.0f * e);
  if (x > 1.0f - e) return 1.0f - ((1.0f + e - x) * (1.0f + e - x)) / (4.0f * e);
  return x;
}
static float soft_slope(float x, float e) {
  if (x <= -e || x >= 1.0f + e) return 0.0f;
  if (x < e) return (x + e) / (2.0f * e);
  if (x > 1.0f - e) return (1.0f + e - x) / (2.0f * e);
  return 1.0f;
}

/* Latches the thigh and takes up the pose as a phase begins. */
static void begin_phase(ctl_state *x, int32_t m) {
  const float pace = map_pace_per_s[m];
  const float thigh = map_sign[m] * x->held[THIGH];
  int32_t j;
  memset(&x->swing, 0, sizeof x->swing);
  x->swing.phase = map_toe_off[m];
  x->swing.on_rad = thigh;
  for (j = 0; j < 2; j++) {
    const float *q = j == 0 ? map_knee_rad[m] : map_ankle_rad[m];
    const float angle = x->held[KNEE + j];
    float value;
    float slope;
    trajectory_at(q, map_toe_off[m], &value, &slope);
    x->swing.joint_rad[j] = angle;
    x->swing.offset_rad[j] = angle - value;
    x->swing.offset_slope_rad[j] = (x->rate_rad_per_s[j] / pace - slope) * map_blend[m];
  }
  if (map_peak_rad[m] - thigh < LEAST_THIGH_RANGE_RAD) x->swing.fault = 2;
}

static void enter(ctl_state *x, int32_t state) {
  x->state = state;
  x->dwell = 0;
  memset(x->held_for, 0, sizeof x->held_for);
  x->start_rad[0] = x->held[KNEE];
  x->start_rad[1] = x->held[ANKLE];
  if (state_map[state] >= 0) begin_phase(x, state_map[state]);
}

/* One tick of the phase; 0 where it stays. */
static int phase_tick(ctl_state *x, int32_t m, int readable) {
  const float thigh = map_sign[m] * x->held[THIGH];
  const float rate = map_sign[m] * x->held[THIGH_RATE];
  const float before = x->swing.phase;
  const float play = map_play[m];
  const float h = 1.0f / (float)CTL_MAP_STEPS;
  const float most = map_fastest_per_s[m] * period_s;
  float way;
  float r;
  float u;
  float a;
  float b;
  float target;
  float slope;
  float phase_rate = 0.0f;
  int32_t i;
  if (!readable || x->swing.fault == 2) {
    if (x->swing.fault != 2) x->swing.fault = 1;
    x->swing.rate_per_s = 0.0f;
    return 0;
  }
  x->swing.fault = 0;
  way = map_full_rad[m] - x->swing.on_rad;
  r = (thigh - x->swing.on_rad) / way;
  u = r + play;
  if (x->swing.play < u) u = x->swing.play;
  if (r > u) u = r;
  u = share(u);
  x->swing.play = u;

  i = u >= 1.0f ? CTL_MAP_STEPS - 1 : (int32_t)(u * (float)CTL_MAP_STEPS);
  b = u * (float)CTL_MAP_STEPS - (float)i;
  a = 1.0f - b;
  {
    const float y0 = map_phase[m][i];
    const float y1 = map_phase[m][i + 1];
    const float m0 = map_bend[m][i];
    const float m1 = map_bend[m][i + 1];
    target = a * y0 + b * y1 + (((a * a * a - a) * m0 + (b * b * b - b) * m1) * h * h) / 6.0f;
    slope = (y1 - y0) / h + (((3.0f * b * b - 1.0f) * m1 - (3.0f * a * a - 1.0f) * m0) * h) / 6.0f;
  }
  if (u < 1.0f && u > 0.0f && (rate > 0.0f ? u == r : u == r + play)) phase_rate = (slope * rate) / way;

  if (u >= 1.0f && map_finish_rate_per_s[m] > 0.0f) {
    float finish;
    if (x->swing.finishing == 0) {
      x->swing.finishing = 1;
      x->swing.finish_ticks = 0;
      x->swing.finish_start = before;
    } else {
      x->swing.finish_ticks++;
    }
    finish = x->swing.finish_start + (float)x->swing.finish_ticks * (map_finish_rate_per_s[m] * period_s);
    target = soft(finish, map_corner[m]);
    phase_rate = map_finish_rate_per_s[m] * soft_slope(finish, map_corner[m]);
  } else {
    x->swing.finishing = 0;
  }

  if (target > before + most || target < before - most) {
    /* compensated sum: many small steps must not lose their last digits */
    const float step = (target > before ? most : -most) + x->swing.phase_low;
    const float sum = before + step;
    x->swing.phase_low = step - (sum - before);
    x->swing.phase = sum;
    phase_rate = target > before ? map_fastest_per_s[m] : -map_fastest_per_s[m];
  } else {
    x->swing.phase = target;
    x->swing.phase_low = 0.0f;
  }
  x->swing.rate_per_s = phase_rate;
  return 1;
}

static void swing_tick(ctl_state *x, int32_t m, int readable) {
  int32_t j;
  float part;
  if (!phase_tick(x, m, readable)) {
    x->swing.joint_rate_rad_per_s[0] = 0.0f;
    x->swing.joint_rate_rad_per_s[1] = 0.0f;
    return;
  }
  part = (x->swing.phase - map_toe_off[m]) / map_blend[m];
  for (j = 0; j < 2; j++) {
    const float e = x->swing.offset_rad[j];
    const float d = x->swing.offset_slope_rad[j];
    float value;
    float slope;
    trajectory_at(j == 0 ? map_knee_rad[m] : map_ankle_rad[m], x->swing.phase, &value, &slope);
    x->swing.joint_rad[j] = value + blend(e, d, part);
    x->swing.joint_rate_rad_per_s[j] = (slope + blend_slope(e, d, part) / map_blend[m]) * x->swing.rate_per_s;
  }
}

static int read_sensor(ctl_state *x, int32_t i, float raw) {
  if (!(fabsf(raw) <= READABLE)) {
    if (x->missing[i] < LONG_AGO) x->missing[i]++;
    return 0;
  }
  x->missing[i] = 0;
  if (x->same[i] >= 0 && raw == x->held[i]) {
    if (x->same[i] < LONG_AGO) x->same[i]++;
  } else {
    x->same[i] = 0;
  }
  x->held[i] = raw;
  return 1;
}

/* Change of an angle over the period, rad/s; 0 where there was or is no number, and for a jump. */
static float read_joint(ctl_state *x, int32_t i, float raw) {
  const float before = x->held[i];
  const int32_t gap = x->missing[i];
  const int known = x->same[i] >= 0;
  const int good = read_sensor(x, i, raw);
  float step = good && known ? x->held[i] - before : 0.0f;
  int32_t w;
  for (w = 0; w < CTL_WATCH_COUNT; w++) {
    int jumped;
    if (watch_kind[w] != IS_JUMP || watch_sensor[w] != i) continue;
    jumped = fabsf(step) > watch_limit[w] * (float)(gap + 1);
    x->watch[w] = jumped;
    if (jumped) step = 0.0f;
  }
  return gap > 0 ? 0.0f : step / period_s;
}

/* By how much the two encoders of a joint differ beyond what its gears may wind up, rad; 0 while either gives no number. */
static float encoders_apart(const ctl_state *x, int32_t second) {
  const int32_t j = second - KNEE_SECOND;
  const int32_t own = KNEE + j;
  float apart;
  if (x->missing[own] > 0 || x->missing[second] > 0) return 0.0f;
  apart = x->held[second] - x->held[own];
  apart -= 6.28318531f * roundf(apart / 6.28318531f);
  return fabsf(apart) - joint_wind_up_rad_per_Nm[j] * fabsf(x->torque_Nm[j]);
}

static int32_t watch_sensors(ctl_state *x) {
  int32_t leads_to = -1;
  int32_t w;
  for (w = 0; w < CTL_WATCH_COUNT; w++) {
    const int32_t i = watch_sensor[w];
    int counts = -1;
    int bad;
    if (watch_kind[w] == IS_MISSING) x->watch[w] = x->missing[i];
    else if (watch_kind[w] == IS_STUCK) x->watch[w] = x->same[i] > 0 ? x->same[i] : 0;
    else if (watch_kind[w] == IS_OUTSIDE) counts = x->held[i] < watch_low[w] || x->held[i] > watch_high[w];
    else if (watch_kind[w] == IS_DISAGREEING) {
      const float apart = i == THIGH_RATE ? fabsf(x->disagrees_rad_per_s) : encoders_apart(x, i);
      counts = apart > watch_limit[w];
    }
    if (counts == 0) x->watch[w] = 0;
    else if (counts == 1 && x->watch[w] < LONG_AGO) x->watch[w]++;
    bad = x->watch[w] >= watch_ticks[w];
    if (watch_to[w] == TO_WARNING) {
      x->fired[w] = bad;
      continue;
    }
    if (!bad || x->fired[w] == 1) continue;
    x->fired[w] = 1;
    if (x->fault == 0) x->fault = w + 1;
    if (leads_to < 0) leads_to = watch_to[w] == TO_OWN_SAFE ? state_safe[x->state] : watch_to[w];
  }
  return leads_to;
}

static float signal_of(const ctl_state *x, int32_t which) {
  switch (which) {
    case 0: return x->held[LOAD];
    case 1: return x->held[THIGH];
    case 2: return x->held[THIGH_RATE];
    case 3: return x->held[KNEE];
    case 4: return x->rate_rad_per_s[0];
    case 5: return x->held[ANKLE];
    case 6: return x->phase;
    default: return x->held[RELEASE];
  }
}

static void take_events(ctl_state *x) {
  const int32_t from = x->state;
  int32_t due = -1;
  int32_t j;
  int32_t c;
  int32_t to;
  for (j = transition_first[from]; j < transition_first[from + 1]; j++) {
    int holds = 1;
    for (c = condition_first[j]; c < condition_first[j + 1]; c++) {
      const float value = signal_of(x, condition_signal[c]);
      if (!(value > condition_low[c] && value < condition_high[c])) holds = 0;
    }
    if (!holds) x->held_for[j] = 0;
    else if (x->held_for[j] < LONG_AGO) x->held_for[j]++;
    if (due < 0 && x->held_for[j] >= transition_hold_ticks[j] && x->dwell >= transition_after_ticks[j]) due = j;
  }
  if (due < 0) return;
  to = transition_to[due];
  if (state_safe[from] < 0 && state_safe[to] >= 0) {
    x->fault = 0;
    memset(x->fired, 0, sizeof x->fired);
  }
  enter(x, to);
}

static float scheduled(int32_t n, float place, float angle, float rate) {
  const int32_t last = schedule_first[n + 1] - 1;
  int32_t k = schedule_first[n];
  float u;
  float K;
  float c;
  float B;
  while (k < last - 1 && schedule_at[k + 1] <= place) k++;
  u = share((place - schedule_at[k]) / (schedule_at[k + 1] - schedule_at[k]));
  K = schedule_stiffness_Nm_per_rad[k] + u * (schedule_stiffness_Nm_per_rad[k + 1] - schedule_stiffness_Nm_per_rad[k]);
  c = schedule_offset_Nm[k] + u * (schedule_offset_Nm[k + 1] - schedule_offset_Nm[k]);
  B = schedule_damping_Nms_per_rad[k] + u * (schedule_damping_Nms_per_rad[k + 1] - schedule_damping_Nms_per_rad[k]);
  return c - K * angle - B * rate;
}

static void joint_command(ctl_state *x, ctl_output *out, int32_t j, float place) {
  const int32_t at = 2 * x->state + j;
  const float *limit = joint_limits + j * L_COUNT;
  const float angle = x->held[KNEE + j];
  const float rate = x->rate_rad_per_s[j];
  const float winding = x->held[KNEE_WINDING + j];
  const float full = limit[L_TORQUE];
  const float upper = full * share((limit[L_TO] - angle) / limit[L_MARGIN]);
  const float lower = -full * share((angle - limit[L_FROM]) / limit[L_MARGIN]);
  const float by_heat = share((limit[L_HOT] - winding) / (limit[L_HOT] - limit[L_WARM]));
  const float returned = limit[L_RETURNED] * share((limit[L_BUS] - x->held[BUS]) / (limit[L_BUS] - limit[L_FADE_BUS]));
  const float copper = joint_copper_W_per_Nm2[j];
  const float speed = fabsf(rate);
  const float before = x->torque_Nm[j];
  float by_speed = 1.0f;
  float command = angle;
  float torque = 0.0f;
  int32_t acts = 0;
  if (joint_does[at] == DOES_SPRING) {
    command = joint_equilibrium_rad[at];
    if (joint_approach_rad_per_tick[at] > 0.0f) {
      const float start = x->start_rad[j];
      const float way = joint_approach_rad_per_tick[at] * (float)x->dwell;
      if (command > start + way) command = start + way;
      else if (command < start - way) command = start - way;
    }
    torque = joint_stiffness_Nm_per_rad[at] * (command - angle) - joint_damping_Nms_per_rad[at] * rate;
  } else if (joint_does[at] == DOES_THIGH) {
    command = x->swing.joint_rad[j];
    torque = joint_stiffness_Nm_per_rad[at] * (command - angle) +
             joint_damping_Nms_per_rad[at] * (x->swing.joint_rate_rad_per_s[j] - rate);
  } else if (joint_does[at] == DOES_SCHEDULE) {
    torque = scheduled(joint_schedule[at], place, angle, rate);
  }

  if (torque > upper) {
    torque = upper;
    acts = 1;
  } else if (torque < lower) {
    torque = lower;
    acts = 1;
  }
  if (torque * rate > 0.0f) by_speed = share((limit[L_SPEED] - fabsf(rate)) / (limit[L_SPEED] - limit[L_FADE_SPEED]));
  if (fabsf(torque) > full * by_speed) {
    torque = (torque > 0.0f ? full : -full) * by_speed;
    acts |= 2;
  }
  if (fabsf(torque) > full * by_heat) {
    torque = (torque > 0.0f ? full : -full) * by_heat;
    acts |= 4;
  }
  if (torque * rate < 0.0f && fabsf(torque) * (speed - copper * fabsf(torque)) > returned) {
    const float under = speed * speed - 4.0f * copper * returned;
    const float most = (2.0f * returned) / (speed + (under > 0.0f ? sqrtf(under) : 0.0f));
    torque = torque > 0.0f ? most : -most;
    acts |= 16;
  }
  if (torque > before + limit[L_SLEW_STEP]) {
    torque = before + limit[L_SLEW_STEP];
    acts |= 8;
  } else if (torque < before - limit[L_SLEW_STEP]) {
    torque = before - limit[L_SLEW_STEP];
    acts |= 8;
  }
  out->shorted[j] = joint_does[at] == DOES_SHORTED;
  if (out->shorted[j]) torque = 0.0f;
  x->torque_Nm[j] = torque;
  out->torque_Nm[j] = torque;
  out->command_rad[j] = command;
  out->limits[j] = acts;
  out->most_Nm[j] = full * (by_speed < by_heat ? by_speed : by_heat);
}

void ctl_reset(ctl_state *x) {
  int32_t i;
  memset(x, 0, sizeof *x);
  x->state = CTL_INITIAL_STATE;
  x->dwell = LONG_AGO;
  for (i = 0; i < CTL_SENSORS; i++) x->same[i] = -1;
}

void ctl_tick(ctl_state *x, const ctl_input *in, ctl_output *out) {
  const float a = filter_pole;
  float knee;
  float ankle;
  float thigh;
  float place = 0.0f;
  int32_t fired;
  int32_t m;
  int32_t w;
  if (x->dwell < LONG_AGO) x->dwell++;

  /* read */
  knee = read_joint(x, KNEE, in->knee_rad);
  ankle = read_joint(x, ANKLE, in->ankle_rad);
  x->rate_rad_per_s[0] = a * x->rate_rad_per_s[0] + (1.0f - a) * knee;
  x->rate_rad_per_s[1] = a * x->rate_rad_per_s[1] + (1.0f - a) * ankle;
  thigh = read_joint(x, THIGH, in->thigh_rad);
  (void)read_sensor(x, THIGH_RATE, in->thigh_rate_rad_per_s);
  (void)read_sensor(x, LOAD, in->load_N);
  (void)read_sensor(x, KNEE_WINDING, in->knee_winding_K);
  (void)read_sensor(x, ANKLE_WINDING, in->ankle_winding_K);
  (void)read_sensor(x, BUS, in->bus_V);
  (void)read_sensor(x, ELAPSED, in->elapsed_s);
  (void)read_sensor(x, RELEASE, in->release);
  (void)read_sensor(x, KNEE_SECOND, in->knee_second_rad);
  (void)read_sensor(x, ANKLE_SECOND, in->ankle_second_rad);
  x->disagrees_rad_per_s = a * x->disagrees_rad_per_s + (1.0f - a) * (x->held[THIGH_RATE] - thigh);

  /* plausibility, faults, events */
  fired = watch_sensors(x);
  if (fired >= 0) enter(x, fired);
  else take_events(x);

  /* phase, trajectory */
  m = state_map[x->state];
  if (m >= 0) {
    const int readable = x->missing[THIGH] == 0 && x->missing[THIGH_RATE] == 0;
    if (joint_does[2 * x->state] == DOES_THIGH || joint_does[2 * x->state + 1] == DOES_THIGH) swing_tick(x, m, readable);
    else (void)phase_tick(x, m, readable);
    x->phase = x->swing.phase;
    place = x->swing.phase * map_scale[m];
  }

  /* torque, limits, output */
  out->state = x->state;
  out->phase = x->phase;
  out->fault = x->fault;
  out->warning = 0;
  for (w = CTL_WATCH_COUNT - 1; w >= 0; w--)
    if (watch_to[w] == TO_WARNING && x->fired[w] == 1) out->warning = w + 1;
  joint_command(x, out, 0, place);
  joint_command(x, out, 1, place);
}

static uint32_t crc_word(uint32_t crc, uint32_t word) {
  int32_t k;
  crc ^= word;
  for (k = 0; k < 32; k++) crc = (crc >> 1) ^ ((crc & 1u) != 0u ? 0xEDB88320u : 0u);
  return crc;
}

uint32_t ctl_checksum(void) {
  uint32_t crc = 0xFFFFFFFFu;
  uint32_t t;
  uint32_t i;
  for (t = 0; t < CTL_TABLES; t++) {
    for (i = 0; i < ctl_tables[t].count; i++) {
      uint32_t word;
      memcpy(&word, (const unsigned char *)ctl_tables[t].words + 4u * i, 4u);
      crc = crc_word(crc, word);
    }
  }
  return crc ^ 0xFFFFFFFFu;
}
