#include "fit.hpp"

#include <algorithm>
#include <cmath>

#include <libdrag/units.hpp>

#include "maths.hpp"

namespace libdrag::fit {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Rows Rows::only(std::vector<Index> const& rows) const {
    Rows out = *this;
    auto const n = static_cast<Index>(rows.size());
    out.z.resize(n);
    out.noise.resize(n);
    out.J.resize(n, J.cols());
    out.block.clear();
    for (Index i = 0; i < n; ++i) {
        Index const from = rows[static_cast<std::size_t>(i)];
        out.z[i] = z[from];
        out.noise[i] = noise[from];
        out.J.row(i) = J.row(from);
        out.block.push_back(block[static_cast<std::size_t>(from)]);
    }
    return out;
}

Fit solve(Rows const& rows, VectorXd const& start, int steps) {
    Index const n = rows.size(), groups = rows.log_tau.size(), coefficients = rows.J.cols(),
                blocks = static_cast<Index>(rows.group_of.size());
    double const precision = 1.0 / (rows.log_tau_sd * rows.log_tau_sd);

    // The covariance of z is S = N + E T E' + J L J': N the noise, E says which row is of which block, T = tau2 of each
    // block, L the prior. With A = N + E T E', block by block, and J scaled by the prior's SDs, Woodbury's identity
    // leaves matrices of the size of the coefficients: S^-1 = A^-1 - A^-1 J C^-1 J' A^-1, C = 1 + J' A^-1 J, and
    // A^-1 = N^-1 - N^-1 E T/(1 + T s) E' N^-1, s the sum of 1/N over a block. These sums stay the same in every step:
    VectorXd const weight = rows.noise.cwiseInverse();
    MatrixXd const J = rows.J * rows.prior_sd.asDiagonal();
    MatrixXd const weighted = weight.asDiagonal() * J, whole = J.transpose() * weighted;
    VectorXd const whole_z = weighted.transpose() * rows.z;
    MatrixXd of_block = MatrixXd::Zero(coefficients, blocks); // J' N^-1 E
    VectorXd s = VectorXd::Zero(blocks), z = VectorXd::Zero(blocks);
    for (Index i = 0; i < n; ++i) {
        Index const b = rows.block[static_cast<std::size_t>(i)];
        s[b] += weight[i];
        z[b] += weight[i] * rows.z[i];
        of_block.col(b) += weighted.row(i).transpose();
    }

    VectorXd ln_tau = start;
    VectorXd tau2(blocks), shrink(blocks), right;
    Eigen::LLT<MatrixXd> llt;
    auto const factor = [&] {
        for (Index b = 0; b < blocks; ++b)
            tau2[b] = maths::exp(2.0 * ln_tau[rows.group_of[static_cast<std::size_t>(b)]]);
        shrink = (1.0 + tau2.array() * s.array()).inverse();
        VectorXd const shared = tau2.cwiseProduct(shrink);
        MatrixXd C = whole;
        C.diagonal().array() += 1.0;
        C.selfadjointView<Eigen::Lower>().rankUpdate(of_block * shared.cwiseSqrt().asDiagonal(), -1.0);
        llt.compute(C);
        right = whole_z - of_block * shared.cwiseProduct(z); // J' A^-1 z
    };
    factor();
    for (int step = 0; step < steps; ++step) {
        // With M = E' S^-1 E and u = E' S^-1 z, dS/d ln tau_g = 2 tau_g^2 E_g E_g':
        // gradient tau_g^2 sum over its blocks (u^2 - M_bb), expected curvature 2 tau_g^2 tau_h^2 sum M_bc^2.
        MatrixXd const G = of_block * shrink.asDiagonal(); // J' A^-1 E
        MatrixXd const half = llt.matrixL().solve(G);
        MatrixXd M = s.cwiseProduct(shrink).asDiagonal();
        M.selfadjointView<Eigen::Lower>().rankUpdate(half.transpose(), -1.0);
        VectorXd const u = z.cwiseProduct(shrink) - G.transpose() * llt.solve(right);
        VectorXd gradient = -precision * (ln_tau - rows.log_tau);
        MatrixXd curvature = precision * MatrixXd::Identity(groups, groups);
        for (Index b = 0; b < blocks; ++b) {
            Index const g = rows.group_of[static_cast<std::size_t>(b)];
            gradient[g] += tau2[b] * (u[b] * u[b] - M(b, b));
            for (Index c = 0; c <= b; ++c) {
                double const together = 2.0 * tau2[b] * tau2[c] * square(M(b, c));
                Index const h = rows.group_of[static_cast<std::size_t>(c)];
                curvature(g, h) += together;
                if (c < b) curvature(h, g) += together;
            }
        }
        VectorXd const full = curvature.ldlt().solve(gradient);
        double const largest = full.cwiseAbs().maxCoeff();
        ln_tau += full * std::min(1.0, 0.7 / std::max(largest, 1e-300));
        factor();
        if (largest < 1e-10) break;
    }

    VectorXd const solved = llt.solve(right);
    MatrixXd const inverse = llt.solve(MatrixXd::Identity(coefficients, coefficients));
    Fit out{ln_tau, rows.prior_sd.cwiseProduct(solved),
            rows.prior_sd.asDiagonal() * inverse * rows.prior_sd.asDiagonal(), 0.0};
    double log_det = 0.0;
    for (Index i = 0; i < n; ++i) log_det += maths::log(rows.noise[i]);
    for (Index b = 0; b < blocks; ++b) log_det -= maths::log(shrink[b]);
    for (Index k = 0; k < coefficients; ++k) log_det += 2.0 * maths::log(llt.matrixLLT()(k, k));
    double const misfit =
        weight.dot(rows.z.cwiseAbs2()) - tau2.cwiseProduct(shrink).dot(z.cwiseAbs2()) - right.dot(solved);
    constexpr double ln_2pi = 1.8378770664093453;
    out.log_likelihood = -0.5 * (misfit + log_det + static_cast<double>(n) * ln_2pi)
                         - 0.5 * precision * (ln_tau - rows.log_tau).squaredNorm();
    return out;
}

double own_spread(Rows const& rows, Index row, Fit const& fit) {
    Index const block = rows.block[static_cast<std::size_t>(row)];
    double const tau = maths::exp(fit.log_tau[rows.group_of[static_cast<std::size_t>(block)]]);
    return std::sqrt(rows.noise[row] + tau * tau);
}

Normal predict(Rows const& rows, Index row, Fit const& fit) {
    VectorXd const j = rows.J.row(row);
    return {j.dot(fit.shift), std::sqrt(j.dot(fit.V * j) + square(own_spread(rows, row, fit)))};
}

} // namespace libdrag::fit
