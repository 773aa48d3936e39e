/* Times the spatial strut in MuJoCo from C: Gauss-Newton on MuJoCo's own constraint residual, 162
 * heights in 1 mm steps, each started from its neighbour. Arguments: model file, repeats, rounds.
 * Prints microseconds a position and iterations. Built and run by kinematics_peers.py. */
#include <math.h>
#include <mujoco/mujoco.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MOST = 30 };

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

/* Gauss elimination with row exchange; 1 where singular. */
static int solve(double *a, double *b, int n) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(a[i * n + k]) > fabs(a[best * n + k])) best = i;
        if (fabs(a[best * n + k]) < 1e-14) return 1;
        if (best != k) {
            for (int j = k; j < n; j++) {
                double t = a[k * n + j];
                a[k * n + j] = a[best * n + j];
                a[best * n + j] = t;
            }
            double t = b[k];
            b[k] = b[best];
            b[best] = t;
        }
        for (int i = k + 1; i < n; i++) {
            double f = a[i * n + k] / a[k * n + k];
            for (int j = k; j < n; j++) a[i * n + j] -= f * a[k * n + j];
            b[i] -= f * b[k];
        }
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++) b[i] -= a[i * n + j] * b[j];
        b[i] /= a[i * n + i];
    }
    return 0;
}

/* One position; iterations, or -1 where it does not close. */
static int place(const mjModel *m, mjData *d, int site, double height) {
    static double row[3 * MOST], a[MOST * MOST], b[MOST];
    int n = m->nv;
    for (int it = 0; it < 20; it++) {
        mj_kinematics(m, d);
        mj_comPos(m, d);
        mj_makeConstraint(m, d);
        mj_jacSite(m, d, row, NULL, site);
        int rows = d->nefc;
        if (rows + 1 != n) return -1;
        double most = 0;
        for (int i = 0; i < rows; i++) b[i] = -d->efc_pos[i];
        b[rows] = height - d->site_xpos[3 * site + 2];
        for (int i = 0; i < n; i++) most = fmax(most, fabs(b[i]));
        if (most < 1e-12) return it;
        memcpy(a, d->efc_J, sizeof(double) * rows * n);
        memcpy(a + rows * n, row + 2 * n, sizeof(double) * n);
        if (solve(a, b, n)) return -1;
        mj_integratePos(m, d->qpos, b, 1);
    }
    return -1;
}

int main(int count, char **words) {
    char error[500] = "";
    mjModel *m = count == 4 ? mj_loadXML(words[1], NULL, error, sizeof error) : NULL;
    if (!m) {
        fprintf(stderr, "usage: model repeats rounds %s\n", error);
        return 1;
    }
    mjData *d = mj_makeData(m);
    mj_forward(m, d);
    int site = mj_name2id(m, mjOBJ_SITE, "centre"), repeats = atoi(words[2]), rounds = atoi(words[3]);
    double z0 = d->site_xpos[3 * site + 2], best = 1e30;
    long iterations = 0, positions = 0;
    for (int round = 0; round < rounds; round++) {
        double start = now();
        for (int r = 0; r < repeats; r++)
            for (int sign = 1; sign >= -1; sign -= 2) {
                mj_resetData(m, d);
                for (int k = 0; k <= 80; k++) {
                    int it = place(m, d, site, z0 + sign * k * 1e-3);
                    if (it < 0) return 2;
                    iterations += it;
                    positions++;
                }
            }
        best = fmin(best, (now() - start) / (162.0 * repeats));
    }
    printf("%.4f %.3f\n", best * 1e6, (double)iterations / positions);
    return 0;
}
