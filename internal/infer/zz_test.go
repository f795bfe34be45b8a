package infer
import ("testing";"fmt";"math";"gonum.org/v1/gonum/mathext";"gonum.org/v1/gonum/stat/distuv")
func TestZZ(t *testing.T){
 r:=func(n string,g,w float64){fmt.Printf("%-20s %.17g %.17g rel %.2e\n",n,g,w,math.Abs(g-w)/math.Max(math.Abs(w),1e-300))}
 N:=distuv.UnitNormal
 r("Phi",N.CDF(1.96),0.9750021048517795);r("Phi-5",N.CDF(-5),2.866515718791939e-07);r("Phi-10",N.CDF(-10),7.619853024160525e-24)
 for i,p:=range []float64{.975,.995,.9,1e-10,.5}{r("q",N.Quantile(p),[]float64{1.9599639845400543, 2.575829303548901, 1.2815515655446004, -6.361340902404057, 0.0}[i])}
 w:=[]float64{12.706204736174705, 2.1318467863266504, 2.228138851986275, 2.7499956535672254, 12.923978636687483}
 for i,a:=range [][2]float64{{1,.975},{4,.95},{10,.975},{30,.995},{3,.9995}}{r("t",distuv.StudentsT{Sigma:1,Nu:a[0]}.Quantile(a[1]),w[i])}
 w=[]float64{3.841458820694126, 18.307038053275146, 77.92946516501726, 9.210340371976184, 330.51974363400586}
 for i,a:=range [][2]float64{{1,.95},{10,.95},{100,.05},{2,.99},{255,.999}}{r("chi",distuv.ChiSquared{K:a[0]}.Quantile(a[1]),w[i])}
 w=[]float64{4.474184809637749, 0.06975177682217745, 2.6206541478628873}
 for i,a:=range [][3]float64{{3,12,.975},{3,12,.025},{5,24,.95}}{r("F",distuv.F{D1:a[0],D2:a[1]}.Quantile(a[2]),w[i])}
 w=[]float64{0.6875, 3.929882327128e-06, 0.9362314391414801, 0.307288374999505}
 for i,a:=range [][3]float64{{2,3,.5},{10,10,.1},{.5,.5,.99},{.1,5,1e-6}}{r("Ix",mathext.RegIncBeta(a[0],a[1],a[2]),w[i])}
 w=[]float64{0.6321205588285577, 0.9544997361036416, 0.5132987982791487, 2.5163478067703148e-17}
 for i,a:=range [][2]float64{{1,1},{.5,2},{100,100},{10,.1}}{r("P",mathext.GammaIncReg(a[0],a[1]),w[i])}
 r("dig1",mathext.Digamma(1),-0.5772156649015329);r("dig.5",mathext.Digamma(.5),-1.9635100260214235);r("dig10",mathext.Digamma(10),2.251752589066721)
 r("CP",distuv.Beta{Alpha:81,Beta:183}.Quantile(.025),0.2527367455852713);r("CP",distuv.Beta{Alpha:82,Beta:182}.Quantile(.975),0.36762192260135146)
 r("CP",distuv.Beta{Alpha:1,Beta:29}.Quantile(.025),0.000872646883579922)
 r("Gar",distuv.Gamma{Alpha:1,Beta:1}.Quantile(.025),0.025317807984289876)
 r("Gar",distuv.Gamma{Alpha:101,Beta:1}.Quantile(.975),121.62679379242638)
 r("Gar",distuv.Gamma{Alpha:100,Beta:1}.Quantile(.025),81.36399125092314)
 for _,nu:=range []float64{99,499,999,9999,1e6}{fmt.Println(nu,distuv.StudentsT{Sigma:1,Nu:nu}.Quantile(.975), distuv.StudentsT{Sigma:1,Nu:nu}.CDF(distuv.StudentsT{Sigma:1,Nu:nu}.Quantile(.975))-.975)}
 for _,a:=range [][3]float64{{1e4,1e4,.025},{.01,.01,.3},{.5,1e5,.975},{1e5,2,.025},{3e5,7e5,.975},{.5,1000.5,.025}}{b:=distuv.Beta{Alpha:a[0],Beta:a[1]};q:=b.Quantile(a[2]);fmt.Println(a,q,b.CDF(q)/a[2]-1)}
 for _,a:=range [][2]float64{{1e4,.025},{.01,.3},{1e6,.975},{.5,1e-9},{1e-3,.975}}{b:=distuv.Gamma{Alpha:a[0],Beta:1};q:=b.Quantile(a[1]);fmt.Println(a,q,b.CDF(q)/a[1]-1)}
}
